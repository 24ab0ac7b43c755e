/** What the lanes say at one time, in words: for the line under the plate, the slider and the table. Pure. */
import { type Format, NO_NUMBER } from '../format.ts';
import { PLATE } from '../words/bench.ts';
import { type LaneSpec, sayValue } from './lane-spec.ts';
import { valueNear } from './sample-near.ts';

/** Names of what a lane draws, each once: readings and forecast of one thing bear one name. */
export const namesIn = (lane: LaneSpec): readonly string[] => [
  ...new Set(lane.lines.map((line) => line.name)),
];

export interface LaneValue {
  readonly value: number;
  readonly band: { readonly low: number; readonly high: number } | null;
}

/** What a lane shows of a name at a time; null in a gap. Bands belong to its first line. */
export function valueAt(lane: LaneSpec, name: string, atMs: number): LaneValue | null {
  for (const line of lane.lines) {
    if (line.name !== name) continue;
    const value = valueNear(line, atMs);
    if (value === null) continue;
    if (name !== lane.lines[0]?.name) return { value, band: null };
    for (const { low, high } of lane.bands) {
      const [least, most] = [valueNear(low, atMs), valueNear(high, atMs)];
      if (least !== null && most !== null) return { value, band: { low: least, high: most } };
    }
    return { value, band: null };
  }
  return null;
}

export const rangeText = (lane: LaneSpec, band: { low: number; high: number }): string =>
  PLATE.range(lane.number(band.low), lane.number(band.high));

export function cellText(lane: LaneSpec, shown: LaneValue | null): string {
  if (shown === null) return NO_NUMBER;
  const value = lane.number(shown.value);
  return shown.band ? `${value} (${rangeText(lane, shown.band)})` : value;
}

/** Each line of a lane at a time; a line with a gap there is said to be not heard. */
export function sayLane(lane: LaneSpec, atMs: number): string[] {
  const said = namesIn(lane).map((name) => {
    const shown = valueAt(lane, name, atMs);
    if (shown === null) return PLATE.notHeard(name);
    const value = sayValue(lane, shown.value);
    return PLATE.valueAt(name, shown.band ? `${value} (${rangeText(lane, shown.band)})` : value);
  });
  const near = lane.happenings?.filter((one) => Math.abs(one.atMs - atMs) <= one.nearMs) ?? [];
  return [...said, ...(lane.spoken?.(atMs) ?? []), ...near.map(({ words }) => words)];
}

/** *Now* is a second wide on either side, lest a reading of it be called past before it has been heard. */
const NOW_WITHIN_MS = 1000;

export function sayPlate(lanes: readonly LaneSpec[], atMs: number, nowMs: number, format: Format): string {
  const sinceMs = nowMs - atMs;
  const kind =
    sinceMs < -NOW_WITHIN_MS ? PLATE.ahead : sinceMs > NOW_WITHIN_MS ? PLATE.fromReadings : PLATE.now;
  const parts = lanes.flatMap((lane) =>
    // What is not forecast is passed over, for nobody said it would be.
    sinceMs < -NOW_WITHIN_MS && !lane.lines.some((line) => line.look === 'dashed') ? [] : sayLane(lane, atMs),
  );
  return PLATE.asOf(format.when(atMs, nowMs), kind, parts);
}
