/** What it means for a spool's estimate and its weighing that jobs took filament off it. */

import type { DryingEstimate } from '../estimators/drying/estimate.ts';
import type { Quantiles } from '../estimators/drying/quantiles.ts';
import type { DryingEvent } from '../estimators/drying/tracker.ts';
import type { Taken } from '../estimators/jobs/taken.ts';

/** A job's stated grams are its slicer's: true to this share (judgement). */
const STATED_SHARE = 0.05;

/** Usable grams are counted from where the jobs have left off; the moisture of all that was stated stays as it is. */
export function lessTaken(estimate: DryingEstimate, { g, jobs }: Taken): DryingEstimate {
  if (g <= 0) return estimate;
  const less = (q: Quantiles): Quantiles => ({
    p05: Math.max(0, q.p05 - g),
    p50: Math.max(0, q.p50 - g),
    p95: Math.max(0, q.p95 - g),
  });
  return {
    ...estimate,
    readyOuterG: less(estimate.readyOuterG),
    assumptions: [...estimate.assumptions, sayTaken(g, jobs)],
  };
}

export const sayTaken = (g: number, jobs: number): string =>
  `${Math.round(g)} g from the outside went into ${jobs === 1 ? 'a job' : `${jobs} jobs`}, by the grams stated for ${jobs === 1 ? 'it' : 'them'}: usable grams are counted from there on. The moisture is still that of the whole spool.`;

/** What is weighed after a job lacks filament, not water: its grams are put back, as surely as they are known. */
export function weighedWhole(event: DryingEvent, { g }: Taken): DryingEvent {
  if (event.kind !== 'weigh-in' || g <= 0) return event;
  // A weigh-in's sd is half its step.
  return {
    ...event,
    massG: event.massG + g,
    resolutionG: Math.max(event.resolutionG, 2 * STATED_SHARE * g),
  };
}

/** A scale under the spool tells water from filament only in a drying run in which no job has taken any. */
export const tellsWater = (runStartMs: number | null, { newestMs }: Taken): boolean =>
  newestMs === null || (runStartMs !== null && newestMs < runStartMs);
