/** The soak study: four hundred heat-ups of a finer chamber, half plain, the rest with doors, a fan, the heat switched off. */
import { soakFigures, soakTable } from './soak-figures.ts';
import { judgeEstimator, judgeExponential, judgeSlope } from './soak-others.ts';
import { runSoakCase, type Way } from './soak-run.ts';
import { type SoakRow, scoreSoak } from './soak-score.ts';

/** With bed and a part's surface measured and without; a chamber without room sensor too is in the smaller checks. */
const JUDGED_WAYS: readonly Way[] = ['air+room', 'air+room+bed+part'];

/** Seeds from 12,200 on judge, once; those below 1,000 were tuned on, 10,200 to 10,276 and 10,400 to 12,199 judged before. */
export const SOAK_STUDY = {
  name: 'soak',
  seeds: Array.from({ length: 400 }, (_, i) => 14_200 + i),
  run(seed: number): SoakRow[] {
    const run = runSoakCase(seed, undefined, { ways: JUDGED_WAYS });
    return [
      ...JUDGED_WAYS.map((way) => scoreSoak(run, way, judgeEstimator(run.seen[way]))),
      ...[0.5, 0.2, 0.1].map((limit) => scoreSoak(run, `slope < ${limit} °C/10 min`, judgeSlope(run, limit))),
      scoreSoak(run, 'one exponential', judgeExponential(run)),
    ];
  },
  table(rows: readonly SoakRow[]): string {
    const ways = [...new Set(rows.map(({ way }) => way))];
    return ways.map((way) => soakTable(way, soakFigures(rows.filter((row) => row.way === way)))).join('\n');
  },
};
