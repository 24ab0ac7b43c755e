import { Value } from 'typebox/value';
import { expect, test } from 'vitest';
import type { ErrorAnswer } from '../../server/api/messages.ts';
import {
  type PlanAnswer,
  PlanAnswerSchema,
  type PlanCatalogue,
  PlanCatalogueSchema,
} from '../../server/api/messages-plan.ts';
import { PLAN_KINDS } from '../../server/plan-fields.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { serve } from './serve.ts';

test('each question is answered by its schema, with all blanks filled in', async () => {
  const { ask } = await serve({ planner: PLANNER });
  for (const kind of PLAN_KINDS) {
    const reply = await ask(`/api/plan/${kind}`);
    expect(reply.status, kind).toBe(200);
    const answer = JSON.parse(reply.body) as PlanAnswer;
    expect(Value.Errors(PlanAnswerSchema, answer), kind).toEqual([]);
    expect(answer.kind).toBe(kind);
    expect(answer.evidence.length).toBeGreaterThan(0);
    expect(reply.body.length).toBeLessThan(40_000);
  }
});

test('what can be asked is told with units and limits, and the materials with theirs', async () => {
  const { ask } = await serve({ planner: PLANNER });
  const catalogue = JSON.parse((await ask('/api/plan')).body) as PlanCatalogue;
  expect(Value.Errors(PlanCatalogueSchema, catalogue)).toEqual([]);
  expect(catalogue.kinds['dry']?.['boxC']).toMatchObject({ kind: 'number', unit: '°C', low: 25, high: 150 });
  expect(catalogue.materials.find(({ key }) => key === 'petg')?.highestDryingC).toBe(65);
});

test('a mistaken question is refused field by field, in sentences', async () => {
  const { ask } = await serve({ planner: PLANNER });
  const reply = await ask('/api/plan/dry?boxC=hot&roomRhPercent=140&colour=red');
  expect(reply.status).toBe(422);
  const { error } = JSON.parse(reply.body) as ErrorAnswer;
  expect(error.code).toBe('bad-question');
  expect(error.mistakes?.map(({ field }) => field).sort()).toEqual(['boxC', 'colour', 'roomRhPercent']);
  expect(error.message).toContain('must be from 1 to 99 %RH, not 140');
});
