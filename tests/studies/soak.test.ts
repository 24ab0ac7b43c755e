/** A small soak study with fixed seeds, to see that the figures hold and that worse estimators fail them. */
import { beforeAll, describe, expect, it } from 'vitest';
import { soakFaults, soakFigures } from './soak-figures.ts';
import { judgeConstant, judgeEstimator, judgeOverconfident, judgeSlope } from './soak-others.ts';
import { runSoakCase, type SoakCase } from './soak-run.ts';
import { type Judged, scoreSoak } from './soak-score.ts';

const SEEDS = Array.from({ length: 12 }, (_, i) => 10 + i);
/** Few runs: what twelve of them may miss by chance. */
const SLACK = 0.15;
let cases: SoakCase[];

const faultsOf = (judge: (run: SoakCase) => Judged[]): string[] =>
  soakFaults(soakFigures(cases.map((run) => scoreSoak(run, 'judged', judge(run)))), SLACK);

describe('a small soak study', () => {
  beforeAll(() => {
    cases = SEEDS.map((seed) => runSoakCase(seed, undefined, { hours: 7, ways: ['air+room'] }));
  }, 120_000);

  it('the estimator meets its targets, with the slack of twelve runs', () => {
    expect(faultsOf((run) => judgeEstimator(run.seen['air+room']))).toEqual([]);
  });

  it('an estimator that always says the same fails', () => {
    expect(faultsOf(judgeConstant).length).toBeGreaterThan(1);
  });

  it('an overconfident one fails on its band and on early calls', () => {
    const faults = faultsOf((run) => judgeOverconfident(run, run.seen['air+room'])).join('; ');
    expect(faults).toContain('band covers');
    expect(faults).toContain('early');
  });

  it('rules on the slope alone fail', () => {
    for (const limit of [0.5, 0.2])
      expect(faultsOf((run) => judgeSlope(run, limit)).join('; ')).toContain('early');
  });
});
