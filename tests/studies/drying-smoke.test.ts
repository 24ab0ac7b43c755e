/** A small fixed-seed cut of the drying study: polycarbonate dries fastest, so six whole runs fit into a test. */
import { describe, expect, it } from 'vitest';
import { AIMS, dryingFigures, halveBands, missedAims, sayConstant } from './drying-figures.ts';
import { DRYING_CASES, runTrial, WAYS } from './drying-trial.ts';

const SEEDS = [201, 202, 203, 204, 205, 206];
/** Six runs can't be held to the study's own aims: each bound is widened by this. */
const SLACK = 0.1;
const AIM = {
  ...AIMS['T/RH'],
  coverage: [0.9, 1] as const,
  wettest: 0.9,
  error: 0.45,
  crpsShare: 1,
  etaError: 0.9,
  delay: 0.9,
};

describe('the drying estimator on six spools it was not told of', () => {
  const pc = DRYING_CASES.find(({ name }) => name === 'pc 90')!;
  const rows = SEEDS.flatMap((seed) => runTrial(pc, seed, { ways: [WAYS[0]!, WAYS[2]!], longestH: 7 }));
  const judged = rows.filter(({ way }) => way === 'T/RH');
  const priorCrps = dryingFigures(rows.filter(({ way }) => way === 'prior only')).crps;

  it('keeps its bands, its errors and its calls within what is asked', () => {
    const figures = dryingFigures(judged);
    expect(figures.checks).toBe(4 * SEEDS.length);
    expect(missedAims(figures, priorCrps, AIM, SLACK)).toEqual([]);
    expect(figures.falseCalls).toBe(0);
  });

  it('fails an overconfident estimator and a constant one', () => {
    const halved = dryingFigures(halveBands(judged));
    expect(missedAims(halved, priorCrps, AIM, SLACK).join()).toContain('coverage');
    const constant = dryingFigures(sayConstant(judged, 3));
    expect(missedAims(constant, priorCrps, AIM, SLACK).length).toBeGreaterThan(2);
  });
});
