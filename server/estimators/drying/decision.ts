/** Is it dry? Decided on the spool mean, at a refit, from probability alone. */

/** P(mean < limit) that calls it dry … */
export const DRY_AT = 0.9;
/**
 * … when it has held for an hour and a half of refits. False calls are mostly those of quick spools, whose probability passes
 * the mark before their own tail has been seen. On 200 tuning runs, twice running was wrong by over a quarter in 3 of 91 calls
 * (1 of 85 so), with a table a fifth too low and half as fast again in 6 of 33 (2 of 35); a mark of 0.95 cost more delay for less.
 */
export const DRY_REFITS = 9;
/** Below this it is taken back. */
const NOT_DRY_AT = 0.5;

export interface DryCall {
  dryRefits: number;
  dryCalledS: number | null;
  readonly fittedS: number;
}

export type DryFinding = 'not-dry' | 'called' | 'still-dry' | 'taken-back';

export function decide(call: DryCall, summary: { readonly pDry: number }): DryFinding {
  call.dryRefits = summary.pDry >= DRY_AT ? call.dryRefits + 1 : 0;
  if (call.dryCalledS !== null) {
    if (summary.pDry >= NOT_DRY_AT) return 'still-dry';
    call.dryCalledS = null;
    return 'taken-back';
  }
  if (call.dryRefits < DRY_REFITS) return 'not-dry';
  call.dryCalledS = call.fittedS;
  return 'called';
}
