/** What the dearest question of each kind to the planner costs: a page asks one at each rest of the typing hand. */
import type { PlanKind } from '../../server/plan-fields.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { type Measured, median } from './rounds.ts';

const AIM_MS = 50;
const ROUNDS = 15;
const DEAREST: readonly (readonly [kind: PlanKind, raw: Readonly<Record<string, unknown>>])[] = [
  ['dry', { boxC: 60, supply: 'closed' }],
  ['lie-out', { material: 'abs', roomRhPercent: 5, startWtPercent: 0.01 }],
  ['store', { film: 'barrier', desiccant: 'sieve' }],
  ['fit', { wallMm: 50 }],
];

export async function measurePlan(): Promise<readonly Measured[]> {
  return DEAREST.map(([kind, raw]) => {
    const spentMs = Array.from({ length: ROUNDS }, () => {
      const before = process.cpuUsage();
      PLANNER.answer(kind, raw);
      const { user, system } = process.cpuUsage(before);
      return (user + system) / 1000;
    });
    const value = median(spentMs);
    return {
      name: `plan: ${kind}`,
      value,
      unit: 'ms',
      yardstick: 'none: processor time',
      ratio: null,
      aim: `≤ ${AIM_MS} ms`,
      met: value <= AIM_MS,
    };
  });
}
