/**
 * Lids seen in the air: a fall that no heater's rest can make.
 *
 * A thermostat of a small hot box makes falls of 2–4 °C a minute all day (simulated boxes with 1–2 °C of hysteresis and a
 * fan: up to 3.8; their lids 4.4–16), so temperature alone counts only when deep. A shallower fall counts when the vapour
 * falls with it: a resting heater leaves the vapour as it is, an open lid lets it out. Taken for lids, the thermostat's
 * falls let the model lose a box of vapour each time and the vent, the volume and the diffusivity paid for it.
 *
 * A lid counts as open until the air is seen to warm again, ten minutes at most.
 */

import { reducedSaturationGPerM3 } from './thermal-table.ts';

const FALL_C = 2.5;
/** Left of the last minute's vapour, while the humidity sensor lags by some seconds. */
const VAPOUR_LEFT = 0.85;
const DEEP_FALL_C = 4.5;
/** Where even these come too often the heater makes them. */
const DEEPER_FALL_C = 12;
const WITHIN_S = 60;
const REBOUND_C = 0.5;
const LONGEST_S = 600;
/** Nobody opens a box this often in two hours. */
const MOST_OPENINGS = 6;
const COUNTED_S = 7200;
/** Open before the fall is deep enough to be seen, s. */
const UNSEEN_S = 20;
/** Readings kept for the last minute: at faster rhythms one in three seconds is enough. */
const RING_STEP_S = 3;

export interface LidWatch {
  /** Recent [s, °C, reduced vapour g/m³], a minute of them; vapour −1 where no humidity was read. */
  recent: [number, number, number][];
  openSinceS: number | null;
  lowestC: number;
  lastS: number;
  /** Times of openings in the last two hours, s. */
  openings: number[];
}

export const createLidWatch = (): LidWatch => ({
  recent: [],
  openSinceS: null,
  lowestC: 0,
  lastS: Number.MIN_SAFE_INTEGER,
  openings: [],
});

/** Takes one reading; returns the seconds of open lid that it adds, 0 while the lid is shut. */
export function watchLid(watch: LidWatch, atS: number, airC: number, rhPercent: number | null): number {
  const ring = watch.recent;
  const vapour =
    rhPercent === null || !(rhPercent > 0) ? -1 : 0.01 * rhPercent * reducedSaturationGPerM3(airC);
  const sinceS = Math.min(60, atS - watch.lastS);
  watch.lastS = atS;
  while (ring.length > 0 && atS - ring[0]![0] > WITHIN_S) ring.shift();
  const last = ring[ring.length - 1];
  if (!last || atS - last[0] >= RING_STEP_S) ring.push([atS, airC, vapour]);
  if (watch.openSinceS !== null) {
    watch.lowestC = Math.min(watch.lowestC, airC);
    if (airC <= watch.lowestC + REBOUND_C && atS - watch.openSinceS <= LONGEST_S) return sinceS;
    watch.openSinceS = null;
    ring.length = 0;
    return 0;
  }
  const fallC = ring.reduce((most, [, value]) => Math.max(most, value), Number.NEGATIVE_INFINITY) - airC;
  if (fallC <= FALL_C) return 0;
  const before = ring.reduce((most, [, , value]) => Math.max(most, value ?? -1), -1);
  const vapourFell = vapour >= 0 && before >= 0 && vapour < VAPOUR_LEFT * before;
  watch.openings = watch.openings.filter((openingS) => atS - openingS < COUNTED_S);
  const deep = watch.openings.length >= MOST_OPENINGS ? DEEPER_FALL_C : DEEP_FALL_C;
  if (fallC <= deep && !vapourFell) return 0;
  watch.openSinceS = atS;
  watch.lowestC = airC;
  watch.openings.push(atS);
  return UNSEEN_S;
}
