/** Is it dry? Decided on the spool mean, at a refit, from probability alone. */

/** P(mean < limit) that calls it dry, in this many refits running: twice halves the early calls for half an hour. */
export const DRY_AT = 0.9;
export const DRY_REFITS = 2;
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
