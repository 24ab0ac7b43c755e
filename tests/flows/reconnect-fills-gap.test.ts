import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { Change, HistoryAnswer } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { inventedBench, listen, NOON_MS, serve } from '../api/serve.ts';

const open = await loadDatabaseEngine();

/** The value of the box at each of its readings, every two seconds. */
const valueAt = (n: number): number => Math.round(7000 + 900 * Math.sin(n / 40)) / 100;

test('after an hour away a page refills exactly what it missed', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-flow-'));
  const clock = falseClock(NOON_MS);
  const history = openHistory({ open, path: join(folder, 'history.sqlite'), clock });
  onTestFinished(() => {
    history.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const bench = inventedBench();
  const listeners = new Set<(change: Change) => void>();
  let sequence = 0;
  let readings = 0;
  const read = (count: number) => {
    for (let n = 0; n < count; n++, readings++) {
      const point = { station: 'box', key: 't', atMs: clock.now().wallMs, value: valueAt(readings) };
      history.add({ ...point, flagged: false });
      sequence++;
      for (const tell of listeners) tell({ type: 'change', sequence, atMs: point.atMs, points: [point] });
      clock.advance(2000);
    }
  };
  const { ask, serving } = await serve({
    history,
    bench: {
      snapshot: () => ({ ...bench.snapshot(), sequence, atMs: clock.now().wallMs }),
      subscribe: (tell) => {
        listeners.add(tell);
        return () => listeners.delete(tell);
      },
    },
  });

  // What a page holds: every point it was ever shown, live or fetched, by time.
  const held = new Map<number, number>();
  const take = (messages: readonly unknown[]) => {
    for (const message of messages as Change[])
      for (const { atMs, value } of message.points ?? []) held.set(atMs, value);
  };
  const first = await listen(serving.port);
  read(300);
  await first.has(301);
  take(first.messages);
  const lastKnownMs = Math.max(...held.keys());
  first.socket.terminate();
  await first.closed;

  read(1800);

  const second = await listen(serving.port);
  const back = second.messages[0];
  read(50);
  await second.has(51);
  take(second.messages);
  // The sequence says that something is missing, and the two times say what.
  expect(back?.sequence).toBe(300 + 1800);
  const query = `station=box&keys=t&fromMs=${lastKnownMs + 1}&toMs=${back?.atMs}`;
  const answer = JSON.parse((await ask(`/api/history?${query}`)).body) as HistoryAnswer;
  expect(answer.bucketMs).toBe(1);
  const { atMs = [], mean = [] } = answer.series['t'] ?? {};
  expect(atMs).toHaveLength(1800);
  for (const [n, ms] of atMs.entries()) {
    expect(held.has(ms)).toBe(false);
    held.set(ms, mean[n] as number);
  }
  expect([...held].sort(([a], [b]) => a - b)).toEqual(
    Array.from({ length: 2150 }, (_, n) => [NOON_MS + n * 2000, valueAt(n)]),
  );
});
