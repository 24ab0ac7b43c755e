/** What the lanes say at one time, in words: for the line under the plate, the slider and the table. Pure. */
import type { Format } from '../format.ts';
import { PLATE } from '../words.ts';
import { type LaneSpec, sayValue } from './lane-spec.ts';
import { valueNear } from './sample-near.ts';

/** Each line of a lane at a time; a line with a gap there is said to be not heard. */
export function sayLane(lane: LaneSpec, atMs: number): string[] {
  return lane.lines.map((line) => {
    const value = valueNear(line, atMs);
    return value === null ? PLATE.notHeard(line.name) : PLATE.valueAt(line.name, sayValue(lane, value));
  });
}

/** *Now* is a second wide on either side, lest a reading of it be called past before it has been heard. */
const NOW_WITHIN_MS = 1000;

export function sayPlate(lanes: readonly LaneSpec[], atMs: number, nowMs: number, format: Format): string {
  const sinceMs = nowMs - atMs;
  const kind =
    sinceMs < -NOW_WITHIN_MS ? PLATE.ahead : sinceMs > NOW_WITHIN_MS ? PLATE.fromReadings : PLATE.now;
  return PLATE.asOf(
    format.when(atMs, nowMs),
    kind,
    lanes.flatMap((lane) => sayLane(lane, atMs)),
  );
}
