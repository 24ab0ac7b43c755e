/**
 * Doors seen in the air's temperature: a fall that no fan and no bed can make, masked until its dip is over.
 *
 * A fall of 2.2 °C within 30 s (or between two readings up to 90 s apart) opens the mask for 400 s; while the air then stays
 * low and shows no rise, the mask goes on, half an hour at most: after that it is a change to be lived with, not a door.
 */

const FALL_C = 2.2;
const WITHIN_S = 30;
const SLOW_RHYTHM_S = 90;
const MASK_S = 400;
const LONGEST_S = 1800;
/** Share of the dip that must be made up before the air counts as back. */
const BACK_SHARE = 0.6;
/** Readings kept for the last half minute: at faster rhythms one in three seconds is enough. */
const RING_STEP_S = 3;

export interface DoorWatch {
  /** Recent [s, °C]. */
  recent: [number, number][];
  openSinceS: number | null;
  /** Latest time at which the fall still went on. */
  fellS: number;
  beforeC: number;
  lowestC: number;
}

export const createDoorWatch = (): DoorWatch => ({
  recent: [],
  openSinceS: null,
  fellS: 0,
  beforeC: 0,
  lowestC: 0,
});

export type DoorFinding = 'shut' | 'opened' | 'masked';

export function watchDoor(watch: DoorWatch, atS: number, airC: number): DoorFinding {
  const ring = watch.recent;
  const last = ring[ring.length - 1];
  while (ring.length > 1 && atS - ring[0]![0] > WITHIN_S) ring.shift();
  if (ring.length > 0 && atS - ring[0]![0] > SLOW_RHYTHM_S) ring.length = 0;
  if (!last || atS - last[0] >= RING_STEP_S) ring.push([atS, airC]);
  const highest = ring.reduce((most, [, value]) => Math.max(most, value), airC);
  if (highest - airC > FALL_C) {
    const opened = watch.openSinceS === null;
    if (opened) {
      watch.openSinceS = atS;
      watch.beforeC = highest;
      watch.lowestC = airC;
    }
    watch.fellS = atS;
    watch.lowestC = Math.min(watch.lowestC, airC);
    return opened ? 'opened' : 'masked';
  }
  if (watch.openSinceS === null) return 'shut';
  watch.lowestC = Math.min(watch.lowestC, airC);
  const back = airC >= watch.beforeC - (1 - BACK_SHARE) * (watch.beforeC - watch.lowestC);
  const over = atS - watch.fellS > MASK_S && (back || atS - watch.openSinceS > LONGEST_S);
  if (!over) return 'masked';
  watch.openSinceS = null;
  ring.length = 0;
  return 'shut';
}

/** A door told by hand or by a switch: masked from now for as long as a seen one. */
export function tellDoor(watch: DoorWatch, atS: number, airC: number): void {
  watch.openSinceS ??= atS;
  watch.fellS = atS;
  watch.beforeC = airC;
  watch.lowestC = airC;
}
