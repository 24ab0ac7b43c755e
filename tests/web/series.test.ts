import { describe, expect, test } from 'vitest';
import type { HistoryAnswer } from '../../server/api/messages.ts';
import { emptySeries, MAX_BUCKETS, type Series, spliceHistory, takePoint } from '../../web/series.ts';
import { createSeriesWindow } from '../../web/series-window.ts';

const answer = (
  fromMs: number,
  toMs: number,
  bucketMs: number,
  atMs: number[],
  value: number,
): HistoryAnswer => {
  const column = atMs.map(() => value);
  return {
    station: 'box',
    fromMs,
    toMs,
    bucketMs,
    series: { t: { atMs, min: column, mean: [...column], max: [...column] } },
  };
};
const live = (bucketMs: number, times: readonly number[], value: number): Series => {
  const series = emptySeries(bucketMs);
  for (const at of times) takePoint(series, at, value);
  return series;
};

describe('a series in buckets', () => {
  test('points of one bucket are kept as smallest, mean and largest', () => {
    const series = emptySeries(1000);
    expect([takePoint(series, 100, 4), takePoint(series, 400, 9), takePoint(series, 900, 2)]).toEqual([
      'appended',
      'merged',
      'merged',
    ]);
    expect(series).toMatchObject({ atMs: [100], min: [2], mean: [5], max: [9] });
    expect(takePoint(series, 1000, 1)).toBe('appended');
  });

  test('a point older than the newest bucket and one that is no number change nothing', () => {
    const series = live(1000, [0, 5000], 1);
    expect(takePoint(series, 3000, 7)).toBe('too-old');
    expect(takePoint(series, 6000, Number.NaN)).toBe('no-number');
    expect(series.atMs).toEqual([0, 5000]);
  });

  test('it never grows beyond its cap, and forgets the oldest', () => {
    const series = emptySeries(1);
    for (let at = 0; at < MAX_BUCKETS + 500; at++) takePoint(series, at, at);
    expect(series.atMs.length).toBe(MAX_BUCKETS);
    expect(series.mean[0]).toBe(500);
    for (const column of [series.min, series.mean, series.max]) expect(column.length).toBe(MAX_BUCKETS);
  });

  test('a fetched stretch fills the hole and leaves what lies on either side', () => {
    const series = live(1000, [0, 1000, 2000, 9000, 10_000], 1);
    spliceHistory(series, answer(2000, 9000, 1000, [2000, 3000, 4000, 8000], 5), 't');
    expect(series.atMs).toEqual([0, 1000, 2000, 3000, 4000, 8000, 9000, 10_000]);
    expect(series.mean).toEqual([1, 1, 5, 5, 5, 5, 1, 1]);
  });

  test('what was heard live after the last written bucket is not lost to a history that lags', () => {
    const series = live(1000, [7000, 8000, 9000], 1);
    spliceHistory(series, answer(0, 10_000, 1000, [5000, 6000, 7000], 5), 't');
    expect(series.atMs).toEqual([5000, 6000, 7000, 8000, 9000]);
    expect(series.mean).toEqual([5, 5, 5, 1, 1]);
  });

  test('a live bucket that reaches beyond the history keeps what it holds of later', () => {
    const series = live(20_000, [20_000, 22_000, 39_000, 40_000], 1);
    spliceHistory(series, answer(0, 30_000, 1, [18_000, 20_000, 22_000], 5), 't');
    expect(series.atMs).toEqual([18_000, 20_000, 22_000, 22_001, 40_000]);
    expect(series.mean).toEqual([5, 5, 5, 1, 1]);
  });

  test('a hole in the history stays a hole', () => {
    const series = emptySeries(1000);
    spliceHistory(series, answer(0, 9000, 1000, [0, 1000, 8000], 5), 't');
    expect(series.atMs).toEqual([0, 1000, 8000]);
  });
});

describe('a window of series', () => {
  const point = (atMs: number, value: number, key = 't') => ({ station: 'box', key, atMs, value });

  test('takes the points it wants and no others', () => {
    const window = createSeriesWindow();
    window.want([{ station: 'box', key: 't' }], 1000);
    expect(window.takePoints([point(0, 1), point(0, 2, 'rh')])).toBe(true);
    expect(window.takePoints([point(0, 2, 'rh')])).toBe(false);
    expect(window.get('box', 'rh')).toBeNull();
    window.want([{ station: 'box', key: 'rh' }], 1000);
    expect(window.get('box', 't')).toBeNull();
  });

  test('a new picture keeps what was heard since the history was written', () => {
    const window = createSeriesWindow();
    window.want([{ station: 'box', key: 't' }], 1000);
    window.takePoints([point(100, 1), point(9000, 2), point(9400, 4)]);
    window.replace(answer(0, 9000, 500, [0, 500, 1000], 7), ['t']);
    expect(window.get('box', 't')).toMatchObject({
      atMs: [0, 500, 1000, 9000],
      mean: [7, 7, 7, 3],
      max: [7, 7, 7, 4],
    });
  });

  test('history that comes reading by reading does not make live points cost a bucket each', () => {
    const window = createSeriesWindow();
    window.want([{ station: 'box', key: 't' }], 20_000);
    window.replace(answer(0, 10_000, 1, [0, 2000, 4000], 7), ['t']);
    for (let at = 20_000; at < 60_000; at += 2000) window.takePoints([point(at, 1)]);
    expect(window.get('box', 't')?.atMs).toEqual([0, 2000, 4000, 20_000, 40_000]);
  });
});
