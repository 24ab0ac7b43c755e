/** When the heat comes on and goes off, seen in minute means: by the bed where it is measured, else by the air. */
import { isThere, type Minute } from './blocks.ts';

/** Bed above the air and rising by this within three minutes: switched on. */
const BED_ABOVE_C = 6;
const BED_RISE_C = 3;
const BED_RISE_MINUTES = 3;
/** Air risen by this within a quarter of an hour: no room does that. */
const AIR_RISE_C = 2;
const AIR_RISE_MINUTES = 15;
/** Air at first sight this far above the room, or above any room: the heat-up began before we looked. */
const WARM_ABOVE_ROOM_C = 8;
const WARM_C = 33;
const BED_WARM_C = 50;
/** Bed this far below the highest it held, and still falling: switched off. */
const BED_FALLEN_C = 8;
const BED_FALLING_C = 1;

export type HeatFinding =
  | { readonly outcome: 'unheated' }
  /** Place in the minutes of the first heated one. */
  | { readonly outcome: 'on'; readonly fromMinute: number }
  | { readonly outcome: 'warm-already'; readonly fromMinute: number };

export function findHeat(minutes: readonly Minute[], first: boolean): HeatFinding {
  const last = minutes.length - 1;
  const now = minutes[last];
  if (!now) return { outcome: 'unheated' };
  const bed = minutes.map(({ bedC }) => bedC);
  if (first && isThere(now.airC)) {
    const hot =
      (isThere(now.roomC) && now.airC > now.roomC + WARM_ABOVE_ROOM_C) ||
      now.airC > WARM_C ||
      (isThere(now.bedC) && now.bedC > BED_WARM_C && now.airC > 28);
    if (hot) return { outcome: 'warm-already', fromMinute: last };
  }
  if (isThere(now.bedC)) {
    const before = bed[last - BED_RISE_MINUTES];
    const above = !isThere(now.airC) || now.bedC > now.airC + BED_ABOVE_C;
    if (before === undefined || !isThere(before) || !above || now.bedC - before < BED_RISE_C)
      return { outcome: 'unheated' };
    return { outcome: 'on', fromMinute: riseBegan(bed, last, 0.5) };
  }
  if (!isThere(now.airC) || now.masked) return { outcome: 'unheated' };
  const window = minutes.slice(-AIR_RISE_MINUTES);
  // A door that shuts lets the air rise too.
  if (window.some(({ masked }) => masked)) return { outcome: 'unheated' };
  const lowest = window.reduce(
    (least, { airC }) => (isThere(airC) ? Math.min(least, airC) : least),
    now.airC,
  );
  if (now.airC - lowest < AIR_RISE_C) return { outcome: 'unheated' };
  return {
    outcome: 'on',
    fromMinute: riseBegan(
      minutes.map(({ airC }) => airC),
      last,
      0.1,
    ),
  };
}

/** Walks back while the values still rise by more than `leastC` a minute; the minute after the last level one. */
function riseBegan(values: readonly number[], last: number, leastC: number): number {
  let at = last;
  while (at > 0 && isThere(values[at - 1]!) && values[at]! - values[at - 1]! > leastC) at--;
  return Math.min(last, at + 1);
}

export type BedFinding = 'held' | 'off' | 'on-again' | 'unseen';

/** What a measured bed says of the heat; `highestC` is the highest bed of this heat-up. */
export function watchBed(minutes: readonly Minute[], highestC: number, off: boolean): BedFinding {
  const last = minutes.length - 1;
  const now = minutes[last]?.bedC ?? Number.NaN;
  if (!isThere(now)) return 'unseen';
  const before = minutes[last - 3]?.bedC;
  const earlier = minutes[last - 5]?.bedC;
  if (!off)
    return now < highestC - BED_FALLEN_C &&
      before !== undefined &&
      isThere(before) &&
      now < before - BED_FALLING_C
      ? 'off'
      : 'held';
  const airC = minutes[last]!.airC;
  const level = earlier !== undefined && isThere(earlier) && now >= earlier - 0.5;
  return level && (!isThere(airC) || now > airC + BED_ABOVE_C) ? 'on-again' : 'held';
}
