/** A question as it comes from an address bar, a command line or a program, to one that can be answered. */
import { MATERIAL_KEYS } from '../physics/materials.ts';
import {
  PLAN_FIELDS,
  PLAN_KINDS,
  type PlanField,
  type PlanKind,
  type PlanMistake,
  type PlanQuestion,
} from '../plan-fields.ts';

export type AnyQuestion = {
  readonly [K in PlanKind]: { readonly kind: K; readonly of: PlanQuestion<K> };
}[PlanKind];
export type QuestionRead =
  | { readonly ok: true; readonly question: AnyQuestion }
  | { readonly ok: false; readonly mistakes: readonly PlanMistake[] };

export const isPlanKind = (text: string): text is PlanKind =>
  (PLAN_KINDS as readonly string[]).includes(text);

/** Blanks that are not given, or are empty, hold what usually stands there. All mistakes are reported at once. */
export function readQuestion(kind: PlanKind, raw: Readonly<Record<string, unknown>>): QuestionRead {
  const fields: Readonly<Record<string, PlanField>> = PLAN_FIELDS[kind];
  const mistakes: PlanMistake[] = [];
  const values: Record<string, number | string | null> = {};
  for (const name of Object.keys(raw))
    if (!Object.hasOwn(fields, name))
      mistakes.push({
        field: name,
        reason: 'unknown-field',
        detail: `This question has no "${name}"; it asks for ${Object.keys(fields).join(', ')}.`,
      });
  for (const [name, field] of Object.entries(fields)) {
    const given = Object.hasOwn(raw, name) ? raw[name] : undefined;
    if (given === undefined || given === null || given === '') {
      values[name] = field.usual;
      continue;
    }
    const read = readField(field, given);
    if (typeof read === 'object') mistakes.push({ field: name, ...read });
    else values[name] = read;
  }
  if (mistakes.length > 0) return { ok: false, mistakes };
  // The fields' table and its types are one: what was read by it is of its shape.
  return { ok: true, question: { kind, of: values } as unknown as AnyQuestion };
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;

function readField(field: PlanField, given: unknown): number | string | Omit<PlanMistake, 'field'> {
  const text = String(given).trim().slice(0, 40);
  if (field.kind === 'number') {
    const value = typeof given === 'number' ? given : NUMBER.test(text) ? Number(text) : Number.NaN;
    const span = `from ${field.low} to ${field.high} ${field.unit}`;
    if (!Number.isFinite(value))
      return {
        reason: 'no-number',
        detail: `The ${field.name} must be a number ${span}, and "${text}" is none.`,
      };
    if (value < field.low || value > field.high)
      return { reason: 'out-of-range', detail: `The ${field.name} must be ${span}, not ${value}.` };
    return value;
  }
  const options = field.kind === 'choice' ? field.options : MATERIAL_KEYS;
  if (!options.includes(text))
    return {
      reason: 'no-such-choice',
      detail: `The ${field.name} must be one of ${options.join(', ')}, not "${text}".`,
    };
  return text;
}
