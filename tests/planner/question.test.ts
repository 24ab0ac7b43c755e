import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PLAN_FIELDS, PLAN_KINDS } from '../../server/plan-fields.ts';
import { answerPlan } from '../../server/planner/answer.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { readQuestion } from '../../server/planner/read-question.ts';

describe('a question', () => {
  it('has all its mistakes named at once, each with its blank and what is allowed', () => {
    const read = readQuestion('dry', { boxC: 'hot', roomC: '900', material: 'oak', colour: 'red' });
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.mistakes.map(({ field, reason }) => `${field} ${reason}`).sort()).toEqual([
      'boxC no-number',
      'colour unknown-field',
      'material no-such-choice',
      'roomC out-of-range',
    ]);
    const boxC = read.mistakes.find(({ field }) => field === 'boxC');
    expect(boxC?.detail).toBe(
      'The temperature of the box must be a number from 25 to 150 °C, and "hot" is none.',
    );
  });

  it('takes an empty blank as what usually stands there', () => {
    expect(readQuestion('dry', { boxC: '', limitWtPercent: null })).toEqual(readQuestion('dry', {}));
  });

  it('is answered within any limits the fields allow: ordered, finite, and no exception', () => {
    for (const kind of PLAN_KINDS) {
      const raw = fc.record(
        Object.fromEntries(
          Object.entries(PLAN_FIELDS[kind]).map(([name, field]) => [
            name,
            field.kind === 'number'
              ? fc.oneof(
                  fc.double({ min: field.low, max: field.high, noNaN: true }),
                  fc.constantFrom(field.low, field.high),
                )
              : field.kind === 'choice'
                ? fc.constantFrom(...field.options)
                : fc.constantFrom('pa6', 'pc', 'petg', 'pla', 'tpu', 'pva', 'pp'),
          ]),
        ),
      );
      fc.assert(
        fc.property(raw, (given) => {
          const read = readQuestion(kind, given);
          if (!read.ok) throw new Error(JSON.stringify(read.mistakes));
          const { curve } = answerPlan(read.question);
          for (let i = 0; i < curve.at.length; i++) {
            const [p05, p25, p50, p75, p95] = [
              curve.p05[i]!,
              curve.p25[i]!,
              curve.p50[i]!,
              curve.p75[i]!,
              curve.p95[i]!,
            ];
            expect(Number.isFinite(p05) && Number.isFinite(p95)).toBe(true);
            expect(p05).toBeLessThanOrEqual(p25 + 1e-12);
            expect(p25).toBeLessThanOrEqual(p50 + 1e-12);
            expect(p50).toBeLessThanOrEqual(p75 + 1e-12);
            expect(p75).toBeLessThanOrEqual(p95 + 1e-12);
          }
          expect(JSON.stringify(curve)).not.toContain('null,null');
        }),
        { numRuns: 8, seed: 7 },
      );
    }
  }, 60_000);
});

it('calls no two materials of its list alike', () => {
  const names = PLANNER.catalogue().materials.map(({ name }) => name);
  expect(names.length).toBeGreaterThan(15);
  expect(names.filter((name, index) => names.indexOf(name) !== index)).toEqual([]);
});
