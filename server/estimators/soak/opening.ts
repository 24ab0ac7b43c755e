/** When a chamber may be opened after a job: the air cool enough, and nothing in it much warmer than the air. */

/** Below this the parts of a job no longer warp from a draught (judgement). */
export const OPEN_BELOW_C = 45;
/** Slow parts further from the air than this still carry heat worth waiting for, °C (judgement). */
export const OPEN_SPREAD_C = 10;

export interface OpeningRule {
  readonly openBelowC: number;
  /** A part's surface as last measured; null: none is. */
  readonly surfaceC: number | null;
}

export function mayOpen(
  rule: OpeningRule,
  airC: number,
  slowC: readonly number[],
): 'open' | 'air-too-warm' | 'parts-too-warm' {
  if (airC >= rule.openBelowC) return 'air-too-warm';
  return slowC.some((partC) => partC - airC > OPEN_SPREAD_C) ? 'parts-too-warm' : 'open';
}
