import { chmodSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { StorageError } from '../../server/storage/errors.ts';
import type { Database, OpenDatabase } from '../../server/storage/sqlite.ts';
import { openState } from '../../server/storage/state.ts';
import type { Trouble } from '../../server/storage/trouble.ts';
import { historyIn, open, ownFolder, readAll, START_MS, sample } from './bench-folder.ts';
import { runChild } from './child.ts';

/**
 * SQLite itself says "disk full" when a file may have no more pages (https://sqlite.org/pragma.html#pragma_max_page_count),
 * by the same code path that an ENOSPC of the system takes.
 */
function smallDisk(pages: number) {
  let limit = pages;
  const opened: Database[] = [];
  const apply = (db: Database) => db.exec(`PRAGMA max_page_count = ${limit}`);
  const openSmall: OpenDatabase = (path, access) => {
    const db = open(path, access);
    apply(db);
    opened.push(db);
    return db;
  };
  return {
    open: openSmall,
    resize(newPages: number) {
      limit = newPages;
      for (const db of opened) apply(db);
    },
  };
}

test('on a full disk live goes on, trouble is said once, and all is written when there is room', () => {
  const folder = ownFolder();
  const disk = smallDisk(12);
  const told: (Trouble | null)[] = [];
  const { history, clock } = historyIn(folder, {
    open: disk.open,
    onTrouble: (trouble) => told.push(trouble),
  });
  let added = 0;
  while (!history.trouble() && added < 50_000) {
    history.add(sample(START_MS + added * 50, added));
    added++;
    if (added % 100 === 0) clock.advance(5000);
  }
  const keptBefore = history.counts().kept;
  expect(keptBefore).toBeGreaterThan(0);
  expect(history.trouble()).toMatchObject({ code: 'disk-full' });
  expect(history.trouble()?.sentence).toMatch(/^The disk is full: make room .* shown live but not kept/);
  expect(history.trouble()?.sentence).toContain(folder);
  expect(told).toHaveLength(1);
  for (let n = 0; n < 500; n++, added++) {
    history.add(sample(START_MS + added * 50, added));
    clock.advance(50);
  }
  expect(told).toHaveLength(1);
  // Old and new readings are still answered, from the file and from memory.
  const all = () => readAll(history, START_MS, START_MS + added * 50, 1);
  expect(all()).toMatchObject({ min: [0], max: [added - 1] });
  expect(all().mean[0]).toBeCloseTo((added - 1) / 2, 6);
  disk.resize(100_000);
  clock.advance(61_000);
  expect(told.at(-1)).toBeNull();
  expect(history.counts()).toMatchObject({ pending: 0, kept: added, lost: 0 });
  expect(all().mean[0]).toBeCloseTo((added - 1) / 2, 6);
});

test('writing is tried again at growing distances, up to a minute', () => {
  let tries = 0;
  const { history, clock } = historyIn(ownFolder(), {
    open: (path, access) => {
      const db = open(path, access);
      return {
        ...db,
        inTransaction: (work) => {
          // The first one makes the tables.
          if (tries++ > 0) throw new StorageError('disk-full', 'no room');
          return db.inTransaction(work);
        },
      };
    },
  });
  history.add(sample(START_MS, 1));
  const at: number[] = [];
  for (let second = 1, seen = tries; second <= 300; second++) {
    clock.advance(1000);
    if (tries > seen) at.push(second);
    seen = tries;
  }
  expect(at).toEqual([5, 10, 20, 40, 80, 140, 200, 260]);
});

test('memory has its limit: the oldest are given up, and that is said', () => {
  const folder = ownFolder();
  const disk = smallDisk(9);
  const { history, clock } = historyIn(folder, { open: disk.open });
  for (let n = 0; n < 130_000; n++) history.add(sample(START_MS + n * 10, n));
  expect(history.trouble()?.code).toBe('disk-full');
  const { pending, lost, kept } = history.counts();
  expect(pending).toBeLessThanOrEqual(100_000);
  expect(lost + pending + kept).toBe(130_000);
  expect(history.trouble()?.sentence).toContain(`the oldest ${lost} are lost`);
  disk.resize(100_000);
  for (let n = 0; n < 40; n++) clock.advance(5000);
  expect(history.counts()).toMatchObject({ pending: 0, kept: 130_000 - lost });
  expect(readAll(history, START_MS, START_MS + 1_300_000, 1).max).toEqual([129_999]);
});

test('in a folder that may not be written live goes on, and history begins when it may', async () => {
  const folder = ownFolder();
  chmodSync(folder, 0o755);
  mkdirSync(join(folder, 'data'), { mode: 0o555 });
  // Root may write everywhere, so the child gives up being root; it makes the folder writable through its parent.
  const lines = await runChild('read-only', join(folder, 'data'));
  expect(lines.map((line) => JSON.parse(line))).toEqual([
    { opened: 'read-only', sentence: expect.stringContaining('make it writable'), live: [20.5] },
    { state: 'read-only', spools: [] },
    { trouble: null, kept: 1, read: [20.5] },
    { state: 'taken', spools: ['gear'] },
  ]);
});

test('what a person enters is refused aloud on a full disk, and taken when there is room', () => {
  const folder = ownFolder();
  const disk = smallDisk(16);
  const state = openState({
    open: disk.open,
    path: join(folder, 'state.sqlite'),
    clock: falseClock(START_MS),
  });
  state.put('spool', 'small', { grams: 1 });
  expect(() => state.put('spool', 'large', { note: 'x'.repeat(100_000) })).toThrow(
    expect.objectContaining({ code: 'disk-full' }),
  );
  expect(state.all('spool')).toEqual([{ id: 'small', value: { grams: 1 } }]);
  disk.resize(1000);
  state.put('spool', 'large', { note: 'x'.repeat(100_000) });
  expect(state.all('spool').map(({ id }) => id)).toEqual(['large', 'small']);
  state.close();
});
