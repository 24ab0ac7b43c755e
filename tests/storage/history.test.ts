import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { History } from '../../server/storage/history.ts';
import { historyIn, open, ownFolder, readAll, START_MS, sample } from './bench-folder.ts';

/** Least, mean and greatest by plain arithmetic over the readings: what every answer is compared with. */
function byHand(readings: readonly (readonly [atMs: number, value: number])[], bucketMs: number) {
  const buckets = new Map<number, number[]>();
  for (const [atMs, value] of readings) {
    const start = Math.floor(atMs / bucketMs) * bucketMs;
    buckets.set(start, [...(buckets.get(start) ?? []), value]);
  }
  const rows = [...buckets].sort(([a], [b]) => a - b);
  return {
    atMs: rows.map(([atMs]) => atMs),
    min: rows.map(([, values]) => Math.min(...values)),
    mean: rows.map(([, values]) => values.reduce((sum, value) => sum + value, 0) / values.length),
    max: rows.map(([, values]) => Math.max(...values)),
  };
}

/** A wandering temperature with one spike, one reading a second. */
function twoHours(): [number, number][] {
  return Array.from({ length: 7200 }, (_, n) => {
    const value =
      n === 3333 ? 131.5 : Math.round(7000 + 900 * Math.sin(n / 500) + 50 * Math.sin(n / 3)) / 100;
    return [START_MS + n * 1000, value];
  });
}

function addAll(
  history: History,
  clock: { advance(ms: number): void; now(): { wallMs: number } },
  readings: [number, number][],
) {
  for (const [atMs, value] of readings) {
    if (atMs > clock.now().wallMs) clock.advance(atMs - clock.now().wallMs);
    history.add(sample(atMs, value));
  }
}

const close = (got: readonly number[], wanted: readonly number[]) => {
  expect(got).toHaveLength(wanted.length);
  // Sums are joined in another order than by hand: equal to rounding.
  for (const [n, value] of got.entries()) expect(value).toBeCloseTo(wanted[n] as number, 9);
};

test('what was added can be read at once, before and after it is written', () => {
  const { history } = historyIn(ownFolder());
  const readings: [number, number][] = [
    [START_MS, 70.02],
    [START_MS + 2000, 70.1],
    [START_MS + 4001, 69.9],
  ];
  for (const [atMs, value] of readings) history.add(sample(atMs, value));
  const expected = { ...byHand(readings, 1), bucketMs: 1 };
  expect(readAll(history, START_MS, START_MS + 10_000)).toEqual(expected);
  expect(history.flush()).toBe('kept');
  expect(readAll(history, START_MS, START_MS + 10_000)).toEqual(expected);
  expect(history.counts()).toMatchObject({ kept: 3, pending: 0, series: 1 });
});

test('a batch is written every five seconds, and at once when many wait', () => {
  const { history, clock } = historyIn(ownFolder());
  history.add(sample(START_MS, 1));
  clock.advance(4999);
  expect(history.counts().pending).toBe(1);
  clock.advance(1);
  expect(history.counts().pending).toBe(0);
  for (let n = 0; n < 2000; n++) history.add(sample(START_MS + 6000 + n, n));
  expect(history.counts()).toMatchObject({ pending: 0, kept: 2001 });
});

test('buckets from every tier equal those reckoned by hand from the readings, the spike included', () => {
  const { history, clock } = historyIn(ownFolder());
  const readings = twoHours();
  addAll(history, clock, readings);
  const toMs = START_MS + 7_200_000;
  for (const [buckets, bucketMs] of [
    [2000, 5000],
    [400, 20_000],
    [30, 300_000],
    [9, 900_000],
    [1, null],
  ] as const) {
    const got = readAll(history, START_MS, toMs, buckets);
    if (bucketMs !== null) expect(got.bucketMs).toBe(bucketMs);
    const wanted = byHand(readings, got.bucketMs);
    expect(got.atMs).toEqual(wanted.atMs);
    expect(got.min).toEqual(wanted.min);
    expect(got.max).toEqual(wanted.max);
    close(got.mean, wanted.mean);
    expect(Math.max(...got.max)).toBe(131.5);
  }
});

test('a span in the middle holds the readings of that span and no others', () => {
  const { history, clock } = historyIn(ownFolder());
  const readings = twoHours();
  addAll(history, clock, readings);
  const [fromMs, toMs] = [START_MS + 1_234_567, START_MS + 1_834_567];
  const inside = readings.filter(([atMs]) => atMs >= fromMs && atMs < toMs);
  expect(readAll(history, fromMs, toMs)).toEqual({ ...byHand(inside, 1), bucketMs: 1 });
});

test('an hour missed is refilled reading by reading', () => {
  const { history, clock } = historyIn(ownFolder());
  const readings: [number, number][] = Array.from({ length: 1800 }, (_, n) => [START_MS + n * 2000, n / 100]);
  addAll(history, clock, readings);
  const got = readAll(history, START_MS, START_MS + 3_600_000);
  expect(got).toEqual({ ...byHand(readings, 1), bucketMs: 1 });
});

test('silence stays a gap at every width', () => {
  const { history, clock } = historyIn(ownFolder());
  const readings = twoHours().filter(([atMs]) => atMs < START_MS + 1_800_000 || atMs >= START_MS + 5_400_000);
  addAll(history, clock, readings);
  for (const buckets of [2000, 400, 24]) {
    const { atMs, bucketMs } = readAll(history, START_MS, START_MS + 7_200_000, buckets);
    const inGap = atMs.filter((ms) => ms >= START_MS + 1_800_000 && ms + bucketMs <= START_MS + 5_400_000);
    expect(inGap).toEqual([]);
  }
});

test('flagged values are a series of their own and are not averaged in', () => {
  const { history } = historyIn(ownFolder());
  history.add(sample(START_MS, 70));
  history.add(sample(START_MS + 1000, 850, 't', 'box', true));
  history.add(sample(START_MS + 2000, 72));
  expect(readAll(history, START_MS, START_MS + 9000).mean).toEqual([70, 72]);
  expect(readAll(history, START_MS, START_MS + 9000, 1).mean).toEqual([71]);
  expect(readAll(history, START_MS, START_MS + 9000, 2000, 't!').mean).toEqual([850]);
});

test('stations and keys do not run into one another', () => {
  const { history } = historyIn(ownFolder());
  history.add(sample(START_MS, 1, 't', 'a'));
  history.add(sample(START_MS, 2, 't', 'b'));
  history.add(sample(START_MS, 3, 'rh', 'a'));
  history.flush();
  const answer = history.read({
    station: 'a',
    keys: ['t', 'rh', 'nothing'],
    fromMs: START_MS,
    toMs: START_MS + 1,
    buckets: 10,
  });
  expect(Object.fromEntries(Object.entries(answer.series).map(([key, { mean }]) => [key, mean]))).toEqual({
    t: [1],
    rh: [3],
    nothing: [],
  });
});

test('what is no finite number or time is refused and counted', () => {
  const { history } = historyIn(ownFolder());
  for (const [atMs, value] of [
    [START_MS, Number.NaN],
    [START_MS, Number.POSITIVE_INFINITY],
    [Number.NaN, 1],
    [-1, 1],
    [9e15, 1],
  ] as const)
    history.add(sample(atMs, value));
  expect(history.counts()).toMatchObject({ refused: 5, pending: 0, series: 0 });
});

test('names without end are crowded out and counted; known ones are kept on', () => {
  const { history } = historyIn(ownFolder());
  for (let n = 0; n < 1100; n++) history.add(sample(START_MS, n, `x_${n}`));
  history.add(sample(START_MS + 1, 7, 'x_0'));
  expect(history.flush()).toBe('kept');
  expect(history.counts()).toMatchObject({ series: 1000, crowdedOut: 100, kept: 1001 });
});

test('the same reading twice is kept once', () => {
  const { history } = historyIn(ownFolder());
  for (let n = 0; n < 2; n++) {
    history.add(sample(START_MS, 5));
    history.flush();
  }
  expect(history.counts()).toMatchObject({ kept: 1, repeated: 1 });
});

test('after the wall clock was set back, readings still count in every tier', () => {
  const { history, clock } = historyIn(ownFolder());
  const first: [number, number][] = Array.from({ length: 3600 }, (_, n) => [START_MS + n * 1000, 70]);
  addAll(history, clock, first);
  clock.stepWall(-1_800_000);
  const nowMs = clock.now().wallMs;
  const second: [number, number][] = Array.from({ length: 900 }, (_, n) => [nowMs + 500 + n * 1000, 80]);
  addAll(history, clock, second);
  clock.advance(10_000);
  const wanted = byHand([...first, ...second], 300_000);
  const got = readAll(history, START_MS, START_MS + 3_600_000, 13);
  expect(got.bucketMs).toBe(300_000);
  expect(got.max).toEqual(wanted.max);
  close(got.mean, wanted.mean);
});

test('a clock that runs wild for a while neither sums up nor deletes by its date', () => {
  const { history, clock } = historyIn(ownFolder());
  const readings = twoHours();
  addAll(history, clock, readings);
  const yearsMs = 20 * 365 * 86_400_000;
  clock.stepWall(yearsMs);
  for (let n = 0; n < 60; n++) clock.advance(5000);
  clock.stepWall(-yearsMs);
  clock.advance(5000);
  expect(readAll(history, START_MS, START_MS + 7_200_000, 2000).mean.length).toBeGreaterThan(1400);
  const { mean } = readAll(history, START_MS + 600_000, START_MS + 900_000, 300);
  expect(mean).toHaveLength(300);
});

test('history survives being closed and opened again, with nothing rolled twice', () => {
  const folder = ownFolder();
  const readings = twoHours();
  const first = historyIn(folder);
  addAll(first.history, first.clock, readings.slice(0, 3000));
  first.history.close();
  const second = historyIn(folder);
  addAll(second.history, second.clock, readings.slice(3000));
  const got = readAll(second.history, START_MS, START_MS + 7_200_000, 30);
  const wanted = byHand(readings, 300_000);
  expect(got.min).toEqual(wanted.min);
  close(got.mean, wanted.mean);
  second.history.close();
  const db = open(join(folder, 'history.sqlite'));
  expect(db.prepare('PRAGMA integrity_check').get()?.['integrity_check']).toBe('ok');
  expect(db.prepare('SELECT count(*) AS n FROM raw').get()?.['n']).toBe(7200);
  // 7,200 s less the first ten minutes of waiting are in the tiers up to the last whole five minutes.
  const tens = db
    .prepare('SELECT sum(count) AS n, min(count) AS least, max(count) AS most FROM ten_seconds')
    .get();
  expect(tens).toMatchObject({ least: 10, most: 10 });
  const fives = db.prepare('SELECT sum(count) AS n, min(count) AS least FROM five_minutes').get();
  expect(fives?.['n']).toBe(tens?.['n']);
  expect(fives?.['least']).toBe(300);
  db.close();
});
