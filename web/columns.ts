/**
 * The only place that makes columns for the charts, because a chart lies easily about gaps. Three things stand in a
 * column beside numbers: `null` where the board was quiet past its own rhythm (the line breaks), `undefined` where only
 * another series has a sample (the line goes on), and never NaN, which would be drawn as a bridge. Typed arrays hold
 * neither, so plain ones are used.
 */
import { firstAtOrAfter, type Series } from './series.ts';

/** Silent for longer than this many of its own intervals, a board was quiet. */
export const QUIET_INTERVALS = 3;

/** A line's samples, thinned but with every spike; `silenceMs` is the longest distance that is not a gap. */
export interface Samples {
  readonly atMs: readonly number[];
  readonly values: readonly number[];
  readonly silenceMs: number;
}

/** What uPlot takes: x in seconds, then a column for each series. */
export interface Columns {
  readonly xS: number[];
  readonly ys: (number | null | undefined)[][];
  /** For each series the rows of samples with a gap on both sides: a line cannot show these, a dot can. */
  readonly lone: number[][];
}

/** The distance between neighbours in the middle of the list of distances; 0 where there are none. */
function medianSpacingMs(atMs: readonly number[]): number {
  const spacings = atMs.slice(1).map((at, index) => at - atMs[index]!);
  spacings.sort((a, b) => a - b);
  return spacings[spacings.length >> 1] ?? 0;
}

/**
 * How far apart two neighbouring buckets may lie before the board counts as quiet between them. A bucket's time is that
 * of its first reading, so the true silence may be shorter by one bucket's width. Where the station's rhythm is not
 * known, that of the samples is taken.
 */
export function silenceLimitMs(series: Series, intervalMs: number | null): number {
  const rhythmMs = intervalMs ?? medianSpacingMs(series.atMs);
  return QUIET_INTERVALS * rhythmMs + series.bucketMs;
}

export type Take = 'line' | 'low' | 'high';

/**
 * Thins a series to two samples a bucket: smallest and largest, in the order that carries on from the sample before, so
 * that a spike of one reading is still seen at any zoom. Edges of a band take their outermost value.
 */
export function samplesOf(
  series: Series,
  take: Take,
  silenceMs: number,
  fromMs = Number.NEGATIVE_INFINITY,
  toMs = Number.POSITIVE_INFINITY,
): Samples {
  const atMs: number[] = [];
  const values: number[] = [];
  // One bucket beyond either edge, so that a line leaves the picture instead of ending in it.
  const first = Math.max(0, firstAtOrAfter(series.atMs, fromMs) - 1);
  const end = Math.min(series.atMs.length, firstAtOrAfter(series.atMs, toMs) + 1);
  let previous = series.mean[first] ?? 0;
  for (let index = first; index < end; index++) {
    const at = series.atMs[index]!;
    const [min, max] = [series.min[index]!, series.max[index]!];
    if (take !== 'line' || min === max) {
      atMs.push(at);
      values.push(take === 'high' ? max : min);
      previous = min;
      continue;
    }
    const minFirst = Math.abs(previous - min) <= Math.abs(previous - max);
    const lastsMs = (series.atMs[index + 1] ?? series.newest?.atMs ?? at + series.bucketMs) - at;
    atMs.push(at, at + Math.max(1, Math.min(series.bucketMs, lastsMs) / 2));
    values.push(minFirst ? min : max, minFirst ? max : min);
    previous = minFirst ? max : min;
  }
  // The line ends at the newest reading, not at the extremes of its bucket.
  const { newest } = series;
  const lastMs = atMs.at(-1);
  if (newest && lastMs !== undefined && end === series.atMs.length && newest.atMs > lastMs) {
    atMs.push(newest.atMs);
    values.push(take === 'line' ? newest.value : values.at(-1)!);
  }
  return { atMs, values, silenceMs };
}

/** Puts series of different beats on one time axis. Samples that are no number count as not there. */
export function alignColumns(all: readonly Samples[]): Columns {
  const gapsOf = all.map(gapsIn);
  const timesMs = uniqueTimes(all, gapsOf);
  const ys = all.map((samples, which) => {
    const column: (number | null | undefined)[] = new Array(timesMs.length).fill(undefined);
    let row = 0;
    for (let index = 0; index < samples.atMs.length; index++) {
      const value = samples.values[index]!;
      if (!Number.isFinite(value)) continue;
      while (timesMs[row]! < samples.atMs[index]!) row++;
      column[row] = value;
    }
    // All rows inside a gap are null: with one alone, the line would be drawn up to the rows beside it.
    for (const [afterMs, beforeMs] of gapsOf[which]!) {
      const end = firstAtOrAfter(timesMs, beforeMs);
      for (let inside = firstAtOrAfter(timesMs, afterMs) + 1; inside < end; inside++) column[inside] = null;
    }
    return column;
  });
  return { xS: timesMs.map((at) => at / 1000), ys, lone: ys.map(loneRows) };
}

type Gap = readonly [afterMs: number, beforeMs: number];

function gapsIn(samples: Samples): Gap[] {
  const gaps: Gap[] = [];
  let previousMs: number | null = null;
  samples.atMs.forEach((at, index) => {
    if (!Number.isFinite(samples.values[index])) return;
    if (previousMs !== null && at - previousMs > samples.silenceMs) gaps.push([previousMs, at]);
    previousMs = at;
  });
  return gaps;
}

/** All sample times, and one inside each gap for its null to stand in, in order and each once: a merge of sorted lists. */
function uniqueTimes(all: readonly Samples[], gapsOf: readonly (readonly Gap[])[]): number[] {
  const lists = [
    ...all.map(finiteTimes),
    ...gapsOf.map((gaps) => gaps.map(([afterMs, beforeMs]) => (afterMs + beforeMs) / 2)),
  ].filter((list) => list.length > 0);
  const next = lists.map(() => 0);
  const times: number[] = [];
  for (;;) {
    let earliest = Number.POSITIVE_INFINITY;
    for (let which = 0; which < lists.length; which++) {
      const at = lists[which]![next[which]!];
      if (at !== undefined && at < earliest) earliest = at;
    }
    if (earliest === Number.POSITIVE_INFINITY) return times;
    times.push(earliest);
    for (let which = 0; which < lists.length; which++)
      while (lists[which]![next[which]!] === earliest) next[which]!++;
  }
}

const finiteTimes = ({ atMs, values }: Samples): readonly number[] =>
  values.every(Number.isFinite) ? atMs : atMs.filter((_, index) => Number.isFinite(values[index]));

function loneRows(column: readonly (number | null | undefined)[]): number[] {
  const rows: number[] = [];
  let candidate = -1;
  let brokenBefore = true;
  column.forEach((value, row) => {
    if (value === undefined) return;
    if (value === null) {
      if (candidate >= 0) rows.push(candidate);
      candidate = -1;
      brokenBefore = true;
      return;
    }
    candidate = brokenBefore ? row : -1;
    brokenBefore = false;
  });
  if (candidate >= 0) rows.push(candidate);
  return rows;
}
