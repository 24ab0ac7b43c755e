/** What the storage tests share: a folder of their own, the engine at hand, samples. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import type { Sample } from '../../server/records.ts';
import { type History, type HistoryOptions, openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { START_MS } from './times.ts';

export { START_MS };

/** Whichever engine this Node has: its own, or the packaged one. */
export const open = await loadDatabaseEngine();

export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-storage-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export const sample = (atMs: number, value: number, key = 't', station = 'box', flagged = false): Sample => ({
  station,
  key,
  atMs,
  value,
  flagged,
});

export function historyIn(folder: string, more: Partial<HistoryOptions> = {}, startMs = START_MS) {
  const clock = falseClock(startMs);
  const notes: string[] = [];
  const history = openHistory({
    open,
    path: join(folder, 'history.sqlite'),
    clock,
    onNote: (note) => notes.push(note),
    ...more,
  });
  onTestFinished(() => history.close());
  return { history, clock, notes };
}

export const readAll = (history: History, fromMs: number, toMs: number, buckets = 2000, key = 't') => {
  const answer = history.read({ station: 'box', keys: [key], fromMs, toMs, buckets });
  const columns = answer.series[key];
  if (!columns) throw new Error(`no series ${key}`);
  return { ...columns, bucketMs: answer.bucketMs };
};
