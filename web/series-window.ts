/** The series behind one part of the page (the plate, the sparklines): which are wanted, how fine, and what is known. */
import type { HistoryAnswer, Point } from '../server/api/messages.ts';
import { emptySeries, nameOfPoint, type Series, seriesName, spliceHistory, takePoint } from './series.ts';

export interface SeriesId {
  readonly station: string;
  readonly key: string;
}

export interface SeriesWindow {
  /** From now on these are kept, those no longer wanted forgotten; live points fall into buckets of this width. */
  want(ids: readonly SeriesId[], bucketMs: number): void;
  /** Says whether any of them was wanted. */
  takePoints(points: readonly Point[]): boolean;
  /** A whole new picture of some series; what was heard live since the history was written is kept. */
  replace(answer: HistoryAnswer, keys: readonly string[]): void;
  /** A missing stretch. */
  splice(answer: HistoryAnswer, keys: readonly string[]): void;
  get(station: string, key: string): Series | null;
}

/** Carries over what is known from a time on, bucket by bucket. */
function takeTail(fresh: Series, before: Series, fromMs: number): void {
  before.atMs.forEach((atMs, index) => {
    if (atMs < fromMs) return;
    takePoint(fresh, atMs, before.min[index]!);
    takePoint(fresh, atMs, before.max[index]!);
  });
}

export function createSeriesWindow(): SeriesWindow {
  const known = new Map<string, Series>();
  let newBucketMs = 1000;

  return {
    want(ids, bucketMs) {
      newBucketMs = bucketMs;
      const wanted = new Set(ids.map(({ station, key }) => seriesName(station, key)));
      for (const name of [...known.keys()]) if (!wanted.has(name)) known.delete(name);
      for (const name of wanted) if (!known.has(name)) known.set(name, emptySeries(bucketMs));
    },
    takePoints(points) {
      let taken = false;
      for (const point of points) {
        const series = known.get(nameOfPoint(point));
        if (!series) continue;
        takePoint(series, point.atMs, point.value);
        taken = true;
      }
      return taken;
    },
    replace(answer, keys) {
      for (const key of keys) {
        const name = seriesName(answer.station, key);
        const before = known.get(name);
        if (!before) continue;
        // History that is short comes reading by reading; live points go on in buckets a pixel wide all the same.
        const fresh = emptySeries(Math.max(answer.bucketMs, newBucketMs));
        takeTail(fresh, before, answer.fromMs);
        spliceHistory(fresh, answer, key);
        known.set(name, fresh);
      }
    },
    splice(answer, keys) {
      for (const key of keys) {
        const series = known.get(seriesName(answer.station, key));
        if (series) spliceHistory(series, answer, key);
      }
    },
    get: (station, key) => known.get(seriesName(station, key)) ?? null,
  };
}
