/**
 * What no reading of air can tell: humidity shows an activity, and what the polymer holds at it is the table's word.
 *
 * An estimate that knew every other thing of a run exactly would still be wrong by the run's own isotherm over the
 * table's. Its error is taken about the best constant factor, so that no table could do better.
 */
import { drawDryingRun } from '../../simulators/drying-draw.ts';
import { equilibriumWtPercent } from '../../simulators/polymer-draw.ts';
import { NOMINAL_POLYMERS } from '../../simulators/polymers.ts';
import { DRYING_CASES } from './drying-record.ts';
import { median, sayMedian } from './proportion.ts';

export function sayIsothermBound(seeds: readonly number[]): string[] {
  return [0.03, 0.1].map((activity) => {
    const lns = seeds.map((seed) => {
      const { material, setTemperatureC } = DRYING_CASES[seed % DRYING_CASES.length]!;
      const { polymer } = drawDryingRun({ material, setTemperatureC, seed }).spec;
      const { lowSlopeWtPercent } = NOMINAL_POLYMERS[material];
      return Math.log(equilibriumWtPercent(polymer, 23, activity) / (lowSlopeWtPercent * activity));
    });
    const centre = median(lns);
    const errors = lns.map((ln) => Math.abs(Math.exp(centre - ln) - 1));
    return `error with all known but the run's isotherm, at ${100 * activity} %RH: ${sayMedian(errors, 2, 'of it')}`;
  });
}
