/** Is the box being heated, and since when? Decided on minute means, so that a draught or a hand does not start a run. */
import type { Cells } from './history.ts';
import { hasValue } from './history.ts';

/** Minutes looked back over. */
export const WATCHED_MINUTES = 45;
/** Warmer than the coldest of them by this … */
const RISE_C = 5;
/** … and than any common room, or than the room's own sensor by RISE_C. */
const WARM_C = 29;
/** Seen warm from the first reading on: above any room, or above the room's sensor by this. */
const HOT_C = 36;
const HOT_OVER_ROOM_C = 10;
/** Minutes that must agree. */
const AGREED_MINUTES = 2;

export type HeatingFinding =
  | { readonly outcome: 'unheated' }
  /** Heating began at the start of this cell. */
  | { readonly outcome: 'heating'; readonly fromCell: number }
  /** It was warm already when first seen. */
  | { readonly outcome: 'warm-already'; readonly fromCell: number };

export function findHeating(cells: Cells, sawColdBefore: boolean): HeatingFinding {
  const temperatures = cells.airC.map((airC, cell) => ({ airC, cell })).filter(({ airC }) => hasValue(airC));
  if (temperatures.length < AGREED_MINUTES) return { outcome: 'unheated' };
  const coldest = temperatures.reduce((least, { airC }) => Math.min(least, airC), Number.POSITIVE_INFINITY);
  const latest = temperatures.slice(-AGREED_MINUTES);
  const roomC = cells.roomC.findLast(hasValue);
  const warm = latest.every(({ airC }) =>
    roomC === undefined ? airC > WARM_C : airC > Math.max(roomC + RISE_C, 24),
  );
  if (warm && latest.every(({ airC }) => airC - coldest > RISE_C)) {
    const lastCold = temperatures.findLast(({ airC }) => airC <= coldest + 1)!;
    return { outcome: 'heating', fromCell: lastCold.cell };
  }
  const hot = latest.every(({ airC }) => airC > (roomC === undefined ? HOT_C : roomC + HOT_OVER_ROOM_C));
  if (!hot) return { outcome: 'unheated' };
  return sawColdBefore
    ? { outcome: 'heating', fromCell: temperatures[0]!.cell }
    : { outcome: 'warm-already', fromCell: temperatures[0]!.cell };
}
