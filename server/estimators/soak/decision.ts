/** Is it steady? Decided at a refit, from probability and drift, and taken back at once where they stop being true. */

/**
 * P(|end − air| < band) that calls it steady, as its mean over so many refits. A single refit's P is a lottery over many looks:
 * it called 3 of 1,041 tuning heat-ups more than 1.5 °C from their end where the mean, at the same delay, called none.
 */
export const STEADY_AT = 0.9;
export const STEADY_REFITS = 4;
/**
 * Mean square of a fit's residuals above which it calls only air that hardly drifts, by this share of the limit: a fan that was
 * taken for a door left one at 7.5, whose end lay below the air while the air still climbed by 0.2 °C in ten minutes. Nineteen
 * calls in twenty come at 0.9 or less.
 */
export const CONTRADICTED_AT = 6;
const CONTRADICTED_DRIFT = 0.2;
/** Below this at a single refit it is taken back. */
const NOT_STEADY_AT = 0.6;

export interface SteadyFacts {
  /** Of the latest refits, this one last; of this heat-up since anything last changed. */
  readonly pSteady: readonly number[];
  /** Least-squares slope of the last 20 min, doors left out; null where too little was measured. */
  readonly slopeCPer10Min: number | null;
  readonly driftLimitCPer10Min: number;
  readonly heat: 'on' | 'off';
  /** Door open, or the air not where the last fits put it. */
  readonly quiet: 'quiet' | 'door' | 'straying';
  /** Of the latest fit's residuals, over their own error. */
  readonly meanSquare: number;
  /** Blocks since fan or vent last changed, and that must pass. */
  readonly settledBlocks: number;
}

export type SteadyFinding = 'not-steady' | 'called' | 'still-steady' | 'taken-back';

/** Blocks after a change before steady is said again: the slope's own window. */
export const SETTLING_BLOCKS = 5;

export function decideSteady(called: boolean, facts: SteadyFacts): SteadyFinding {
  const slope = facts.slopeCPer10Min;
  const quiet = (drift: number): boolean =>
    facts.heat === 'on' &&
    facts.quiet === 'quiet' &&
    facts.settledBlocks >= SETTLING_BLOCKS &&
    slope !== null &&
    Math.abs(slope) < drift;
  if (called) {
    const latest = facts.pSteady[facts.pSteady.length - 1] ?? 0;
    return latest >= NOT_STEADY_AT && quiet(1.5 * facts.driftLimitCPer10Min) ? 'still-steady' : 'taken-back';
  }
  const counted = facts.pSteady.slice(-STEADY_REFITS);
  const likely =
    counted.length === STEADY_REFITS && counted.reduce((sum, p) => sum + p, 0) >= STEADY_AT * STEADY_REFITS;
  const driftShare = facts.meanSquare > CONTRADICTED_AT ? CONTRADICTED_DRIFT : 1;
  return likely && quiet(driftShare * facts.driftLimitCPer10Min) ? 'called' : 'not-steady';
}
