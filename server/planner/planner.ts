/** The planner as the HTTP interface asks it: what can be asked, and an answer or what is wrong with the question. */
import { findMaterial, MATERIAL_KEYS } from '../physics/materials.ts';
import { PLAN_FIELDS, type PlanKind } from '../plan-fields.ts';
import { answerPlan } from './answer.ts';
import { nameInList } from './material-names.ts';
import { readQuestion } from './read-question.ts';

const MATERIALS = MATERIAL_KEYS.flatMap((key) => {
  const found = findMaterial(key);
  if (!found.ok) return [];
  const { printingLimitWtPercent, usualDryingC, highestDryingC } = found.material;
  return [
    { key, name: nameInList(key, found.material.name), printingLimitWtPercent, usualDryingC, highestDryingC },
  ];
});

export const PLANNER = {
  catalogue: () => ({
    kinds: PLAN_FIELDS,
    materials: MATERIALS,
  }),
  answer(kind: PlanKind, raw: Readonly<Record<string, unknown>>) {
    const read = readQuestion(kind, raw);
    return read.ok ? { ok: true as const, answer: answerPlan(read.question) } : read;
  },
};
