import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { FalseClock } from '../../server/clock.ts';
import type { History } from '../../server/storage/history.ts';
import { historyIn, open, ownFolder, readAll, START_MS, sample } from './bench-folder.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;

/** One reading a minute, its value the number of the minute. */
function run(history: History, clock: FalseClock, fromMinute: number, toMinute: number, key = 't') {
  for (let minute = fromMinute; minute < toMinute; minute++) {
    clock.advance(START_MS + minute * 60_000 - clock.now().wallMs);
    history.add(sample(clock.now().wallMs, minute, key));
  }
}

const rows = (folder: string, sql: string): number => {
  const db = open(join(folder, 'history.sqlite'), 'read-only');
  const n = Number(db.prepare(sql).get()?.['n']);
  db.close();
  return n;
};

/** Opens the file some days later and waits until the clock is believed and everything due is done. */
function laterOn(folder: string, days: number): History {
  const { history, clock } = historyIn(folder, {}, START_MS + days * DAY_MS);
  clock.advance(HOUR_MS);
  return history;
}

test('readings go after seven days, 10 s buckets after ninety, 5 min buckets never', () => {
  const folder = ownFolder();
  const first = historyIn(folder);
  run(first.history, first.clock, 0, 300);
  first.history.close();
  laterOn(folder, 6.9).close();
  expect(rows(folder, 'SELECT count(*) AS n FROM raw')).toBe(300);
  const week = laterOn(folder, 7.3);
  expect(rows(folder, 'SELECT count(*) AS n FROM raw')).toBe(0);
  expect(rows(folder, 'SELECT count(*) AS n FROM ten_seconds')).toBe(300);
  // What is left answers for what has gone: an hour of then, asked for in fine buckets.
  const old = readAll(week, START_MS, START_MS + HOUR_MS);
  expect(old.bucketMs).toBe(10_000);
  expect(old.mean).toEqual(Array.from({ length: 60 }, (_, minute) => minute));
  week.close();
  laterOn(folder, 89.9).close();
  expect(rows(folder, 'SELECT count(*) AS n FROM ten_seconds')).toBe(300);
  const season = laterOn(folder, 90.3);
  expect(rows(folder, 'SELECT count(*) AS n FROM ten_seconds')).toBe(0);
  expect(rows(folder, 'SELECT sum(count) AS n FROM five_minutes')).toBe(300);
  const older = readAll(season, START_MS, START_MS + HOUR_MS);
  expect(older.bucketMs).toBe(300_000);
  expect(older.min).toEqual([0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55]);
  expect(older.mean).toEqual([2, 7, 12, 17, 22, 27, 32, 37, 42, 47, 52, 57]);
  expect(older.max).toEqual([4, 9, 14, 19, 24, 29, 34, 39, 44, 49, 54, 59]);
  season.close();
  laterOn(folder, 5000);
  expect(rows(folder, 'SELECT sum(count) AS n FROM five_minutes')).toBe(300);
});

test('what a purge leaves is known to the file, not to the clock', () => {
  const folder = ownFolder();
  const first = historyIn(folder);
  run(first.history, first.clock, 0, 300);
  first.history.close();
  laterOn(folder, 8).close();
  // Opened by a process whose clock stands at the first day, as on a board without a battery.
  const again = historyIn(folder);
  expect(readAll(again.history, START_MS, START_MS + HOUR_MS).mean).toHaveLength(60);
});

test('retention works in slices: no flush deletes more than a few thousand rows', () => {
  const folder = ownFolder();
  const first = historyIn(folder);
  for (let n = 0; n < 30_000; n++) first.history.add(sample(START_MS + n * 10, n));
  first.history.close();
  const { clock } = historyIn(folder, {}, START_MS + 8 * DAY_MS);
  const counts = [rows(folder, 'SELECT count(*) AS n FROM raw')];
  for (let beat = 0; beat < 200 && counts.at(-1) !== 0; beat++) {
    clock.advance(5000);
    counts.push(rows(folder, 'SELECT count(*) AS n FROM raw'));
  }
  const steps = counts.slice(1).map((n, i) => (counts[i] as number) - n);
  expect(counts[0]).toBe(30_000);
  expect(counts.at(-1)).toBe(0);
  expect(Math.max(...steps)).toBeLessThanOrEqual(4000);
});

test('a reading that is in no bucket yet is not purged, however old', () => {
  const folder = ownFolder();
  const first = historyIn(folder);
  // More series than one flush works into the tiers.
  for (let n = 0; n < 60; n++) first.history.add(sample(START_MS, n, `x_${n}`));
  first.history.close();
  const late = laterOn(folder, 9);
  expect(rows(folder, 'SELECT count(*) AS n FROM raw')).toBe(0);
  for (let n = 0; n < 60; n++)
    expect(readAll(late, START_MS - 1, START_MS + 1, 2000, `x_${n}`).mean).toEqual([n]);
});

test('space is used again: the file does not grow once retention keeps pace', () => {
  const folder = ownFolder();
  const pagesAfterWeek = (week: number): number => {
    const { history, clock } = historyIn(folder, {}, START_MS + week * 7 * DAY_MS);
    clock.advance(900_000);
    for (let hour = 0; hour < 100; hour++)
      for (let n = 0; n < 300; n++)
        history.add(sample(clock.now().wallMs + hour * HOUR_MS + n * 500, n, `x_${n % 3}`));
    history.flush();
    clock.advance(HOUR_MS);
    history.close();
    return rows(folder, 'SELECT page_count AS n FROM pragma_page_count');
  };
  const [first = 0, second = 0, , , last = 0] = [0, 1, 2, 3, 4].map(pagesAfterWeek);
  // Three more weeks, whose buckets are kept, cost less than the one before retention began.
  expect(last - second).toBeLessThan(second - first);
});
