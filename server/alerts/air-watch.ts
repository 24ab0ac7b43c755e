/**
 * A heated place's air over the last hour, as alarms need it: the hour's median, since when it cools, and falls that
 * only a lid or a door makes. Plain JSON, in steady time.
 */

export interface AirWatch {
  /** [minute since the epoch, sum, count], an hour of them, oldest first. */
  readonly minutes: [number, number, number][];
  /** [ms, °C] of the last minute. */
  readonly recent: [number, number][];
  opening: { sinceMs: number; beforeC: number; lowestC: number } | null;
  /** A fall that may be a lid's, until its shape has been seen. */
  falling: { sinceMs: number; beforeC: number; fallenC: number } | null;
  medianC: number | null;
  /** Minutes known when the median was taken. */
  medianOf: number;
}

export const createAirWatch = (): AirWatch => ({
  minutes: [],
  recent: [],
  opening: null,
  falling: null,
  medianC: null,
  medianOf: -1,
});

const MINUTE_MS = 60_000;
const HOUR_MINUTES = 60;
/** Fewer minutes say nothing of an hour. */
const LEAST_MINUTES = 20;
/** Falls are looked for within this time … */
const WITHIN_MS = 60_000;
/** … or between two readings of a slow board. */
const SLOW_RHYTHM_MS = 90_000;
/** Readings kept for the last minute: at faster rhythms one in three seconds is enough. */
const STEP_MS = 3000;
/** Below this no heat is lost through a lid. */
const WARM_C = 35;
/** A chamber's walls and bed hold its air: no heater's rest makes it fall so fast, °C in a minute. */
const CHAMBER_FALL_C = 2.5;
/**
 * A small box's air falls fast in either case. Air is light and what stands in it is heavy: an open lid takes the air's
 * warmth within half a minute, and then walls and rack hold what is left; without heat it goes on falling with them. So
 * a fall of this share of the excess over the room is a lid's only if the next minute adds little to it.
 */
const BOX_FALL_SHARE = 0.06;
const BOX_LEAST_FALL_C = 3;
const SETTLE_MS = 15_000;
const SHAPE_MS = 75_000;
const ADDED_SHARE = 0.4;
/** Of any room, °C. */
const ROOM_C = 23;
/** Share of the dip that must be made up before it counts as shut. */
const BACK_SHARE = 0.5;
/** So near to the median it does not cool. */
const NEAR_MEDIAN_C = 1;

export function watchAir(watch: AirWatch, steadyMs: number, airC: number, isBox: boolean): void {
  const minute = Math.floor(steadyMs / MINUTE_MS);
  const last = watch.minutes.at(-1);
  if (last && last[0] === minute) {
    last[1] += airC;
    last[2]++;
  } else if (!last || minute > last[0]) {
    watch.minutes.push([minute, airC, 1]);
    while (
      watch.minutes.length > 0 &&
      (watch.minutes[0] as [number, number, number])[0] <= minute - HOUR_MINUTES
    )
      watch.minutes.shift();
  }
  const { recent } = watch;
  const newest = recent.at(-1);
  while (recent.length > 1 && steadyMs - (recent[0] as [number, number])[0] > WITHIN_MS) recent.shift();
  if (newest && steadyMs - newest[0] > SLOW_RHYTHM_MS) recent.length = 0;
  const highest = recent.reduce((most, [, value]) => Math.max(most, value), airC);
  if (!newest || steadyMs - newest[0] >= STEP_MS) recent.push([steadyMs, airC]);
  if (watch.opening === null) {
    if (isBox) watchBoxFall(watch, steadyMs, airC, highest);
    else if (highest >= WARM_C && highest - airC > CHAMBER_FALL_C)
      watch.opening = { sinceMs: steadyMs, beforeC: highest, lowestC: airC };
    return;
  }
  const { opening } = watch;
  opening.lowestC = Math.min(opening.lowestC, airC);
  if (airC >= opening.beforeC - BACK_SHARE * (opening.beforeC - opening.lowestC)) {
    watch.opening = null;
    // Else the climb's lower readings would be looked at as a fall to come.
    recent.length = 0;
  }
}

function watchBoxFall(watch: AirWatch, steadyMs: number, airC: number, highest: number): void {
  const { falling } = watch;
  if (falling === null) {
    if (highest >= WARM_C && highest - airC > Math.max(BOX_LEAST_FALL_C, BOX_FALL_SHARE * (highest - ROOM_C)))
      watch.falling = { sinceMs: steadyMs, beforeC: highest, fallenC: airC };
    return;
  }
  const sinceMs = steadyMs - falling.sinceMs;
  // The first moments belong to the fall itself, as slow as the sensor is.
  if (sinceMs <= SETTLE_MS) falling.fallenC = Math.min(falling.fallenC, airC);
  if (sinceMs < SHAPE_MS) return;
  watch.falling = null;
  watch.recent.length = 0;
  const { fallenC } = falling;
  const dipC = falling.beforeC - fallenC;
  if (fallenC - airC >= ADDED_SHARE * dipC) return;
  // What a heater overshot by when the lid was shut is not what the box was at.
  const beforeC = Math.min(falling.beforeC, hourMedianC(watch, steadyMs) ?? Number.NEGATIVE_INFINITY);
  if (airC < beforeC - BACK_SHARE * dipC)
    watch.opening = { sinceMs: falling.sinceMs, beforeC, lowestC: Math.min(fallenC, airC) };
}

/** Median of the last hour's minutes, °C; null while too few are known. */
export function hourMedianC(watch: AirWatch, steadyMs: number): number | null {
  const now = Math.floor(steadyMs / MINUTE_MS);
  if (watch.medianOf !== now) {
    watch.medianOf = now;
    const means = watch.minutes
      .filter(([minute]) => minute < now && minute >= now - HOUR_MINUTES)
      .map(([, sum, count]) => sum / count)
      .sort((a, b) => a - b);
    const middle = means.length >> 1;
    watch.medianC =
      means.length < LEAST_MINUTES
        ? null
        : means.length % 2 === 1
          ? (means[middle] as number)
          : 0.5 * ((means[middle - 1] as number) + (means[middle] as number));
  }
  return watch.medianC;
}

/** End of the last minute that was near a temperature; null where none in the hour was. */
export function lastNearMs(watch: AirWatch, wantedC: number): number | null {
  const found = watch.minutes.findLast(([, sum, count]) => sum / count >= wantedC - NEAR_MEDIAN_C);
  return found ? (found[0] + 1) * MINUTE_MS : null;
}
