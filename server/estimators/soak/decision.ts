/** Is it steady? Decided at a refit, from probability and drift, and taken back at once where they stop being true. */

/** P(|end − air| < band) that calls it steady. */
export const STEADY_AT = 0.9;
/** Below this it is taken back. */
const NOT_STEADY_AT = 0.6;

export interface SteadyFacts {
  readonly pSteady: number;
  /** Least-squares slope of the last 20 min, doors left out; null where too little was measured. */
  readonly slopeCPer10Min: number | null;
  readonly driftLimitCPer10Min: number;
  readonly heat: 'on' | 'off';
  /** Door open, or the air not where the last fits put it. */
  readonly quiet: 'quiet' | 'door' | 'straying';
  /** Blocks since fan or vent last changed, and that must pass. */
  readonly settledBlocks: number;
}

export type SteadyFinding = 'not-steady' | 'called' | 'still-steady' | 'taken-back';

/** Blocks after a change before steady is said again: the slope's own window. */
export const SETTLING_BLOCKS = 5;

export function decideSteady(called: boolean, facts: SteadyFacts): SteadyFinding {
  const slope = facts.slopeCPer10Min;
  const holds = (least: number, drift: number): boolean =>
    facts.heat === 'on' &&
    facts.quiet === 'quiet' &&
    facts.settledBlocks >= SETTLING_BLOCKS &&
    facts.pSteady >= least &&
    slope !== null &&
    Math.abs(slope) < drift;
  if (!called) return holds(STEADY_AT, facts.driftLimitCPer10Min) ? 'called' : 'not-steady';
  return holds(NOT_STEADY_AT, 1.5 * facts.driftLimitCPer10Min) ? 'still-steady' : 'taken-back';
}
