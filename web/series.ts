/**
 * One quantity of one station over a span, in buckets of equal width. History arrives as whole buckets, live points one
 * by one; both are kept as smallest, mean and largest, so that a spike survives any zoom.
 */
import type { HistoryAnswer, Point } from '../server/api/messages.ts';

/** Buckets kept for one series: twice the widest screen; what is older is left to history. */
export const MAX_BUCKETS = 4000;

export interface Series {
  bucketMs: number;
  /** Time of the first reading in each bucket, ascending. */
  readonly atMs: number[];
  readonly min: number[];
  readonly mean: number[];
  readonly max: number[];
  /** Readings in the newest bucket, for its mean. */
  newestCount: number;
  /** The newest reading itself, which its bucket's figures do not tell. */
  newest: { readonly atMs: number; readonly value: number } | null;
}

export const emptySeries = (bucketMs: number): Series => ({
  bucketMs,
  atMs: [],
  min: [],
  mean: [],
  max: [],
  newestCount: 0,
  newest: null,
});

export type Taken = 'appended' | 'merged' | 'too-old' | 'no-number';

/**
 * Takes a live point. One that is older than the newest bucket is left out: it reached the history, and comes from
 * there with the next fetch.
 */
export function takePoint(series: Series, atMs: number, value: number): Taken {
  if (!Number.isFinite(value) || !Number.isFinite(atMs)) return 'no-number';
  const last = series.atMs.length - 1;
  const newestMs = series.atMs[last];
  if (newestMs !== undefined && atMs < newestMs) return 'too-old';
  if (series.newest === null || atMs >= series.newest.atMs) series.newest = { atMs, value };
  if (
    newestMs !== undefined &&
    Math.floor(newestMs / series.bucketMs) === Math.floor(atMs / series.bucketMs)
  ) {
    const counted = ++series.newestCount;
    series.min[last] = Math.min(series.min[last]!, value);
    series.max[last] = Math.max(series.max[last]!, value);
    series.mean[last] = series.mean[last]! + (value - series.mean[last]!) / counted;
    return 'merged';
  }
  series.atMs.push(atMs);
  series.min.push(value);
  series.mean.push(value);
  series.max.push(value);
  series.newestCount = 1;
  if (series.atMs.length > MAX_BUCKETS) forgetBefore(series, series.atMs[series.atMs.length - MAX_BUCKETS]!);
  return 'appended';
}

/** Drops the buckets that begin before a time. */
export function forgetBefore(series: Series, atMs: number): void {
  const keepFrom = firstAtOrAfter(series.atMs, atMs);
  for (const column of [series.atMs, series.min, series.mean, series.max]) column.splice(0, keepFrom);
}

/**
 * Puts a stretch of history in its place: buckets known before within the stretch make way for it. What was heard live
 * after the last fetched bucket stays, for an answer is as old as its question.
 */
export function spliceHistory(series: Series, answer: HistoryAnswer, key: string): void {
  const fetched = answer.series[key];
  const lastMs = fetched?.atMs.at(-1);
  if (!fetched || lastMs === undefined) return;
  const endMs = lastMs + answer.bucketMs;
  const start = firstAtOrAfter(series.atMs, answer.fromMs);
  let end = Math.max(start, firstAtOrAfter(series.atMs, endMs));
  // A live bucket that began before that may reach beyond it: it stays, and begins where the history ends.
  const straddling = end - 1;
  if (straddling >= start && series.atMs[straddling]! + series.bucketMs > endMs) {
    series.atMs[straddling] = endMs;
    end = straddling;
  }
  series.atMs.splice(start, end - start, ...fetched.atMs);
  series.min.splice(start, end - start, ...fetched.min);
  series.mean.splice(start, end - start, ...fetched.mean);
  series.max.splice(start, end - start, ...fetched.max);
  if (start + fetched.atMs.length === series.atMs.length) {
    series.newestCount = 1;
    series.newest = { atMs: lastMs, value: fetched.mean.at(-1)! };
  }
  const surplus = series.atMs.length - MAX_BUCKETS;
  if (surplus > 0) forgetBefore(series, series.atMs[surplus]!);
}

/** Index of the first time not before `atMs`; the length where there is none. */
export function firstAtOrAfter(times: ArrayLike<number>, atMs: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

export const seriesName = (station: string, key: string): string => `${station}/${key}`;
export const nameOfPoint = (point: Pick<Point, 'station' | 'key'>): string =>
  seriesName(point.station, point.key);
