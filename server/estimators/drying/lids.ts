/**
 * Lids seen in the temperature: a fall that no heater's rest can make.
 *
 * A lid counts as open from a fall of 2.5 °C within a minute until the air is seen to warm again, ten minutes at most.
 * A thermostat that hunts by several degrees makes such falls all day: where they come too often, only deep ones count.
 */

const FALL_C = 2.5;
const DEEP_FALL_C = 7;
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
  /** Recent [s, °C], a minute of them. */
  recent: [number, number][];
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
export function watchLid(watch: LidWatch, atS: number, airC: number): number {
  const ring = watch.recent;
  const sinceS = Math.min(60, atS - watch.lastS);
  watch.lastS = atS;
  while (ring.length > 0 && atS - ring[0]![0] > WITHIN_S) ring.shift();
  const last = ring[ring.length - 1];
  if (!last || atS - last[0] >= RING_STEP_S) ring.push([atS, airC]);
  if (watch.openSinceS !== null) {
    watch.lowestC = Math.min(watch.lowestC, airC);
    if (airC <= watch.lowestC + REBOUND_C && atS - watch.openSinceS <= LONGEST_S) return sinceS;
    watch.openSinceS = null;
    ring.length = 0;
    return 0;
  }
  watch.openings = watch.openings.filter((openingS) => atS - openingS < COUNTED_S);
  const fall = watch.openings.length >= MOST_OPENINGS ? DEEP_FALL_C : FALL_C;
  const highest = ring.reduce((most, [, value]) => Math.max(most, value), Number.NEGATIVE_INFINITY);
  if (highest - airC <= fall) return 0;
  watch.openSinceS = atS;
  watch.lowestC = airC;
  watch.openings.push(atS);
  return UNSEEN_S;
}
