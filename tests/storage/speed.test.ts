import { join } from 'node:path';
import { expect, test } from 'vitest';
import { historyIn, open, ownFolder, START_MS } from './bench-folder.ts';

const DAY_MS = 86_400_000;

/**
 * Thirty days of a station at 1 Hz, laid down as the tiers would hold them (readings themselves of the last hours only).
 * The values are SQLite's own arithmetic; only the time of the answer is judged here.
 */
function thirtyDays(folder: string): void {
  historyIn(folder).history.close();
  const db = open(join(folder, 'history.sqlite'));
  const fill = (
    tier: string,
    columns: string,
    stepMs: number,
    days: number,
    keys: string,
    values: string,
  ): void =>
    db.exec(`INSERT INTO ${tier} (series, at_ms, ${columns})
      WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < ${(days * DAY_MS) / stepMs - 1})
      SELECT series.id, ${START_MS - days * DAY_MS} + i * ${stepMs}, ${values} FROM series, n WHERE key IN (${keys})`);
  db.inTransaction(() => {
    for (const key of ['t', 'rh', 'vapour', 'dew'])
      db.exec(`INSERT INTO series (station, key, rolled_ms) VALUES ('box', '${key}', ${START_MS})`);
    fill('raw', 'value', 1000, 0.25, "'t'", '20 + i % 977 / 100.0');
    fill('ten_seconds', 'low, total, high, count', 10_000, 30, "'t'", '20, 210, 22, 10');
    fill(
      'five_minutes',
      'low, total, high, count',
      300_000,
      30,
      "'t', 'rh', 'vapour', 'dew'",
      '20, 6300, 22, 300',
    );
    db.exec(`INSERT INTO emptied VALUES ('raw', ${START_MS - 0.25 * DAY_MS})`);
  });
  db.close();
}

/** Processor time, best of seven: what the machine does besides is not judged. */
function bestMs(call: () => unknown): number {
  const times = Array.from({ length: 7 }, () => {
    const before = process.cpuUsage();
    call();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  });
  return Math.min(...times);
}

test('thirty days at 1 Hz are answered in 2,000 buckets within 50 ms, and no span takes much longer', () => {
  const folder = ownFolder();
  thirtyDays(folder);
  const { history } = historyIn(folder);
  const ask = (days: number, keys: string[]) => () =>
    history.read({ station: 'box', keys, fromMs: START_MS - days * DAY_MS, toMs: START_MS, buckets: 2000 });
  const answer = ask(30, ['t'])();
  expect(answer.series['t']?.mean.length).toBeGreaterThan(1400);
  expect(answer.series['t']?.mean[0]).toBe(21);
  expect(bestMs(ask(30, ['t']))).toBeLessThan(50);
  expect(bestMs(ask(30, ['t', 'rh', 'vapour', 'dew']))).toBeLessThan(200);
  // The worst spans: just below where the next tier takes over.
  expect(bestMs(ask(6.5, ['t']))).toBeLessThan(100);
  expect(bestMs(ask(0.22, ['t']))).toBeLessThan(100);
});
