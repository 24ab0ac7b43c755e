/**
 * What a run leaves to the next: the same spool, box and sensors come back with what was learned of them.
 *
 * Kept as mean and sd of each unknown by itself; what they had to do with one another is dropped and the sd widened for
 * it and for what a spool and a box change between runs.
 */

import type { Posterior } from './refit.ts';
import { placeOf, type Unknown } from './unknowns.ts';

/** Unknowns that are of the spool, the box or the sensors, not of the moment. */
const LASTING: readonly Unknown[] = [
  'diffusivity',
  'isotherm',
  'curvature',
  'vent',
  'volume',
  'pack',
  'film',
  'heat',
  'rh-offset',
  'rh-gain',
  'dry-mass',
  'reel-paper',
  'reel-lag',
];
const WIDENED_BY = 0.3;

export interface Learned {
  readonly lastPosterior: Posterior | null;
  learnedMean: number[];
  learnedSd: number[];
}

/** Puts the last posterior into the learned means and sds, in units of the table's own prior. */
export function learnFrom(state: Learned): void {
  const posterior = state.lastPosterior;
  if (!posterior) return;
  posterior.active.forEach((name, j) => {
    if (!LASTING.includes(name)) return;
    const place = placeOf[name];
    const mean = state.learnedMean[place]!;
    const sd = state.learnedSd[place]!;
    state.learnedMean[place] = mean + sd * posterior.centre[j]!;
    state.learnedSd[place] = Math.min(1, Math.hypot(sd * posterior.sd[j]!, WIDENED_BY));
  });
}
