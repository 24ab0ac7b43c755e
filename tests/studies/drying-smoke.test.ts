/** A small fixed-seed cut of the drying study: polycarbonate dries fastest, so ten whole runs fit into a test. */
import { describe, expect, it } from 'vitest';
import { AIMS, dryingFigures, halveBands, missedAims, sayConstant } from './drying-figures.ts';
import { DRYING_CASES } from './drying-record.ts';
import { runTrial, WAYS } from './drying-trial.ts';

const SEEDS = [201, 202, 203, 204, 205, 206, 207, 208, 209, 210];
/**
 * Ten runs can't be held to the study's own aims: coverage is given one look of forty, the medians more, most of all the delay:
 * the hour and a half that a call must hold is half of so quick a spool's time.
 */
const AIM = { ...AIMS['T/RH'], coverage: [0.85, 1] as const, error: 0.45, etaError: 0.9, delay: 1.6 };
/** CRPS of the same model without humidity, of polycarbonate over sixteen tuning runs, in shares of the truth. */
const PRIOR_CRPS = 0.75;

describe('the drying estimator on ten spools it was not told of', () => {
  const pc = DRYING_CASES.find(({ name }) => name === 'pc 90')!;
  const ways = WAYS.filter(({ name }) => name === 'T/RH' || name === 'T/RH, wrong table');
  const all = SEEDS.flatMap((seed) => runTrial(pc, seed, { ways, longestH: 7 }));
  const rows = all.filter(({ way }) => way === 'T/RH');

  it('keeps its bands, its errors and its calls within what is asked', () => {
    const figures = dryingFigures(rows);
    expect(figures.checks).toBe(4 * SEEDS.length);
    expect(missedAims(figures, figures.crps / PRIOR_CRPS, AIM)).toEqual([]);
    expect(figures.falseCalls).toBe(0);
  });

  it('calls few dry in error even by a table that holds too little and dries too fast', () => {
    const misled = dryingFigures(all.filter(({ way }) => way !== 'T/RH'));
    expect(misled.called).toBeGreaterThan(0);
    // One in ten is the study's aim; four in ten calls would come of that by chance once in eighty (binomial).
    expect(misled.falseCalls).toBeLessThanOrEqual(3);
    // An estimator that calls dry half way would be wrong nearly always.
    const hasty = all.map((row) => ({ ...row, calledH: 1, calledTruth: row.checks[1]!.truthOverLimit }));
    expect(dryingFigures(hasty.filter(({ way }) => way !== 'T/RH')).falseCalls).toBeGreaterThan(3);
  });

  it('fails an overconfident estimator and a constant one', () => {
    const halved = dryingFigures(halveBands(rows));
    expect(missedAims(halved, halved.crps / PRIOR_CRPS, AIM).join()).toContain('coverage');
    const constant = dryingFigures(sayConstant(rows, 3));
    expect(missedAims(constant, constant.crps / PRIOR_CRPS, AIM).length).toBeGreaterThan(2);
  });
});
