import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { Health, HistoryAnswer, Snapshot } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { type Database, loadDatabaseEngine, type OpenDatabase } from '../../server/storage/sqlite.ts';
import { inventedBench, listen, NOON_MS, serve } from '../api/serve.ts';

const engine = await loadDatabaseEngine();

test('the disk fills up: the page stays live and is told, and nothing is missing once there is room', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-flow-'));
  // SQLite's own limit on pages says "disk full" as the system would.
  let db: Database | null = null;
  const open: OpenDatabase = (path, access) => {
    db = engine(path, access);
    db.exec('PRAGMA max_page_count = 12');
    return db;
  };
  const clock = falseClock(NOON_MS);
  const history = openHistory({ open, path: join(folder, 'history.sqlite'), clock });
  onTestFinished(() => {
    history.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const bench = inventedBench();
  const snapshot = (): Snapshot => ({
    ...bench.snapshot(),
    historyTrouble: history.trouble()?.sentence ?? null,
  });
  const { ask, serving } = await serve({
    history,
    bench: { ...bench, snapshot },
    health: { historyFacts: () => history.counts() },
  });
  const page = await listen(serving.port);

  let readings = 0;
  const read = (count: number) => {
    for (let n = 0; n < count; n++, readings++) {
      history.add({
        station: 'box',
        key: 't',
        atMs: NOON_MS + readings * 100,
        value: readings,
        flagged: false,
      });
      if (readings % 20 === 0) bench.tell(readings);
      clock.advance(100);
    }
  };
  while (history.trouble() === null && readings < 20_000) read(50);
  const keptWhenFull = history.counts().kept;
  read(1000);

  // Live goes on.
  const { sequence } = snapshot();
  await page.has(sequence + 1);
  expect(page.messages.map((message) => message.sequence)).toEqual([...Array(sequence + 1).keys()]);
  // It is said, in words, where a person looks.
  expect(JSON.parse((await ask('/api/bench')).body)).toMatchObject({
    historyTrouble: expect.stringMatching(/^The disk is full: make room/),
  });
  expect(JSON.parse((await ask('/api/health')).body) as Health).toMatchObject({
    status: 'trouble',
    history: { kept: keptWhenFull, pending: readings - keptWhenFull, lost: 0 },
  });
  expect((await ask('/metrics')).body).toContain('\nlowdew_history_trouble 1\n');
  // What is only in memory is answered all the same.
  const whole = `/api/history?station=box&keys=t&fromMs=${NOON_MS}&toMs=${NOON_MS + readings * 100}&buckets=1`;
  const answer = async () => (JSON.parse((await ask(whole)).body) as HistoryAnswer).series['t'];
  const expected = { min: [0], max: [readings - 1], mean: [(readings - 1) / 2] };
  expect(await answer()).toMatchObject(expected);

  (db as Database | null)?.exec('PRAGMA max_page_count = 100000');
  clock.advance(61_000);
  expect(history.counts()).toMatchObject({ kept: readings, pending: 0 });
  expect(JSON.parse((await ask('/api/bench')).body)).toMatchObject({ historyTrouble: null });
  expect(await answer()).toMatchObject(expected);
});
