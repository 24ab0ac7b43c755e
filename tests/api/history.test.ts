import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Value } from 'typebox/value';
import { expect, onTestFinished, test } from 'vitest';
import { type HistoryAnswer, HistoryAnswerSchema } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { NOON_MS, serve } from './serve.ts';

const open = await loadDatabaseEngine();

/** A server over a real history with an hour of a station at 1 Hz, its humidity at every second reading. */
async function serveHistory() {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-api-'));
  const history = openHistory({ open, path: join(folder, 'history.sqlite'), clock: falseClock(NOON_MS) });
  onTestFinished(() => {
    history.close();
    rmSync(folder, { recursive: true, force: true });
  });
  for (let n = 0; n < 3600; n++) {
    const at = { station: 'box', atMs: NOON_MS + n * 1000 };
    history.add({ ...at, key: 't', value: n === 1800 ? 99.5 : n / 100, flagged: false });
    if (n % 2 === 0) history.add({ ...at, key: 'rh', value: n / 1000, flagged: n === 4 });
  }
  return serve({ history });
}

const path = (query: Record<string, string | number>, end = '') =>
  `/api/history${end}?${new URLSearchParams(Object.entries(query).map(([key, value]): [string, string] => [key, String(value)]))}`;
const HOUR = { station: 'box', keys: 't,rh', fromMs: NOON_MS, toMs: NOON_MS + 3_600_000 };

test('an hour comes in the buckets asked for, by its schema, with the spike in it', async () => {
  const { ask } = await serveHistory();
  const { status, headers, body } = await ask(path({ ...HOUR, buckets: 61 }));
  expect([status, headers['content-type']]).toEqual([200, 'application/json; charset=utf-8']);
  const answer = JSON.parse(body) as HistoryAnswer;
  expect(Value.Errors(HistoryAnswerSchema, answer)).toEqual([]);
  expect(answer.bucketMs).toBe(60_000);
  const { t, rh } = answer.series;
  expect(t?.atMs).toEqual(Array.from({ length: 60 }, (_, n) => NOON_MS + n * 60_000));
  expect(t?.max[30]).toBe(99.5);
  expect(t?.min[30]).toBe(18.01);
  expect(t?.mean[0]).toBeCloseTo((59 * 60) / 2 / 60 / 100, 9);
  // Thirty readings a minute; the flagged one of the first minute is not among them.
  expect(rh?.mean[0]).toBeCloseTo(((2 * (29 * 30)) / 2 - 4) / 29 / 1000, 9);
});

test('without a number of buckets two thousand is meant; more is refused', async () => {
  const { ask } = await serveHistory();
  const { bucketMs, series } = JSON.parse((await ask(path(HOUR))).body) as HistoryAnswer;
  expect([bucketMs, series['t']?.atMs.length]).toEqual([2000, 1800]);
  expect(await ask(path({ ...HOUR, buckets: 2001 }))).toMatchObject({ status: 400, code: 'bad-request' });
});

test('flagged values have a series of their own', async () => {
  const { ask } = await serveHistory();
  const { series } = JSON.parse((await ask(path({ ...HOUR, keys: 'rh!' }))).body) as HistoryAnswer;
  expect(series['rh!']).toMatchObject({ atMs: [NOON_MS + 4000], mean: [0.004] });
});

test.each([
  [{ ...HOUR, station: '' }, 'station'],
  [{ ...HOUR, station: '../../etc' }, 'station'],
  [{ ...HOUR, keys: '' }, 'keys'],
  [{ ...HOUR, keys: "t'; DROP TABLE raw; --" }, 'not a key'],
  [{ ...HOUR, keys: Array.from({ length: 17 }, (_, n) => `x_${n}`).join() }, '16 keys'],
  [{ ...HOUR, fromMs: 'noon' }, 'fromMs'],
  [{ ...HOUR, fromMs: 'Infinity' }, 'fromMs'],
  [{ ...HOUR, toMs: 1e300 }, 'toMs'],
  [{ ...HOUR, fromMs: HOUR.toMs }, 'before toMs'],
  [{ ...HOUR, buckets: 0 }, 'buckets'],
  [{ ...HOUR, buckets: 'many' }, 'buckets'],
  [{ station: 'box', keys: 't', fromMs: 0 }, 'toMs'],
])('%j is refused, naming what is wrong', async (query, words) => {
  const { ask } = await serve();
  const answer = await ask(path(query as Record<string, string | number>));
  expect(answer).toMatchObject({ status: 400, code: 'bad-request' });
  expect(answer.body).toContain(words);
});

test('a table of any span has every reading once, in order, unrounded', async () => {
  const { ask } = await serveHistory();
  const { status, headers, body } = await ask(path(HOUR, '.csv'));
  expect(status).toBe(200);
  expect(headers['content-type']).toBe('text/csv; charset=utf-8; header=present');
  expect(headers['content-disposition']).toBe('attachment; filename="lowdew-box-20260822T120000Z.csv"');
  const lines = body.split('\r\n');
  expect(lines.pop()).toBe('');
  expect(lines[0]).toBe('at,span_s,t.min,t.mean,t.max,rh.min,rh.mean,rh.max');
  expect(lines.slice(1, 7)).toEqual([
    '2026-08-22T12:00:00.000Z,0,0,0,0,0,0,0',
    '2026-08-22T12:00:01.000Z,0,0.01,0.01,0.01,,,',
    '2026-08-22T12:00:02.000Z,0,0.02,0.02,0.02,0.002,0.002,0.002',
    '2026-08-22T12:00:03.000Z,0,0.03,0.03,0.03,,,',
    // Its humidity was flagged.
    '2026-08-22T12:00:04.000Z,0,0.04,0.04,0.04,,,',
    '2026-08-22T12:00:05.000Z,0,0.05,0.05,0.05,,,',
  ]);
  expect(lines).toHaveLength(3601);
  const times = lines.slice(1).map((line) => Date.parse(line.split(',', 1)[0] ?? ''));
  expect(times).toEqual(Array.from({ length: 3600 }, (_, n) => NOON_MS + n * 1000));
});

test('a third export waits for its turn; one whose asker left makes room', async () => {
  let pages = 0;
  const endless = {
    read: () => {
      throw new Error('not asked here');
    },
    *pages(): Generator<HistoryAnswer> {
      for (;;) {
        pages++;
        const atMs = Array.from({ length: 2000 }, (_, n) => NOON_MS + n);
        yield {
          station: 'box',
          fromMs: 0,
          toMs: 1,
          bucketMs: 1,
          series: { t: { atMs, min: atMs, mean: atMs, max: atMs } },
        };
      }
    },
  };
  const { ask, serving } = await serve({ history: endless });
  const url = `http://127.0.0.1:${serving.port}${path(HOUR, '.csv')}`;
  const stops = [new AbortController(), new AbortController()];
  for (const stop of stops) await fetch(url, { signal: stop.signal });
  expect(await ask(path(HOUR, '.csv'))).toMatchObject({ status: 503, code: 'exports-busy' });
  // Nobody reads them on, so they wait: an export holds a few pages, not all of history.
  const before = pages;
  await ask('/api/health');
  expect(pages - before).toBeLessThan(50);
  for (const stop of stops) stop.abort();
  let status = 503;
  for (let tries = 0; tries < 200 && status === 503; tries++) {
    const again = new AbortController();
    status = (await fetch(url, { signal: again.signal })).status;
    again.abort();
  }
  expect(status).toBe(200);
});
