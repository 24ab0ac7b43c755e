import {
  closeSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { StorageError } from '../../server/storage/errors.ts';
import { openHistory } from '../../server/storage/history.ts';
import { openState } from '../../server/storage/state.ts';
import { historyIn, open, ownFolder, readAll, START_MS, sample } from './bench-folder.ts';

const ASIDE = /^history\.sqlite\.damaged-\d{8}T\d{6}Z(-\d+)?$/;

/** A history of some pages, closed. */
function wrote(folder: string): string {
  const { history } = historyIn(folder);
  for (let n = 0; n < 5000; n++) history.add(sample(START_MS + n * 1000, n));
  history.close();
  return join(folder, 'history.sqlite');
}

function overwrite(path: string, atByte: number, bytes: Buffer): void {
  const file = openSync(path, 'r+');
  writeSync(file, bytes, 0, bytes.length, atByte);
  closeSync(file);
}

const setAsideIn = (folder: string): string[] => readdirSync(folder).filter((name) => ASIDE.test(name));

test.each([
  [
    'a file that is no database',
    (path: string) => writeFileSync(path, 'not a database at all\n'.repeat(500)),
  ],
  ['a page of zeros in the middle', (path: string) => overwrite(path, 4096 * 5, Buffer.alloc(4096))],
  [
    'a page of noise at the root of a table',
    (path: string) => overwrite(path, 4096 * 3, Buffer.alloc(4096, 0xa7)),
  ],
  ['half a file', (path: string) => truncateSync(path, Math.floor(statSync(path).size / 2))],
])('%s is set aside whole, said in words, and a new history begun', (_name, spoil) => {
  const folder = ownFolder();
  const path = wrote(folder);
  spoil(path);
  const spoilt = readFileSync(path);
  const { history, notes } = historyIn(folder);
  const aside = setAsideIn(folder);
  expect(aside).toHaveLength(1);
  expect(readFileSync(join(folder, aside[0] as string)).equals(spoilt)).toBe(true);
  expect(notes).toHaveLength(1);
  expect(notes[0]).toMatch(
    /^The history file was damaged\. It was set aside as .*damaged-2026.* and a new one begun$/,
  );
  history.add(sample(START_MS, 7));
  expect(history.flush()).toBe('kept');
  expect(readAll(history, START_MS, START_MS + 1).mean).toEqual([7]);
  expect(history.trouble()).toBeNull();
});

test('a second damaged file of the same second does not take the place of the first', () => {
  const folder = ownFolder();
  for (let n = 0; n < 2; n++) {
    writeFileSync(join(folder, 'history.sqlite'), `not a database ${n}\n`.repeat(500));
    historyIn(folder).history.close();
  }
  expect(setAsideIn(folder)).toHaveLength(2);
});

test('damage found while running: the file is set aside and what waits in memory goes into the new one', () => {
  const folder = ownFolder();
  const { history, clock, notes } = historyIn(folder);
  for (let n = 0; n < 50_000; n++) history.add(sample(START_MS + n * 100, n));
  history.flush();
  // Closing works the log into the file; a second handle then spoils pages that the first has not in memory.
  history.close();
  const path = join(folder, 'history.sqlite');
  const again = historyIn(folder, { onNote: (note) => notes.push(note) });
  overwrite(path, 4096 * 8, Buffer.alloc(statSync(path).size - 4096 * 8, 0xa7));
  again.history.add(sample(START_MS + 1, 1, 'rh'));
  // A wide read meets the spoilt pages.
  expect(readAll(again.history, START_MS, START_MS + 5_000_000, 1).mean).toEqual([]);
  expect(notes).toHaveLength(1);
  expect(again.history.trouble()?.code).toBe('damaged');
  again.clock.advance(10_000);
  expect(again.history.trouble()).toBeNull();
  expect(readAll(again.history, START_MS, START_MS + 10, 10, 'rh').mean).toEqual([1]);
  expect(setAsideIn(folder)).toHaveLength(1);
  clock.advance(1);
});

test('a file of a later version is refused, with the remedy, and left as it is', () => {
  const folder = ownFolder();
  const path = wrote(folder);
  const db = open(path);
  db.exec('PRAGMA user_version = 99');
  db.close();
  const before = readFileSync(path);
  let error: unknown;
  try {
    historyIn(folder);
  } catch (caught) {
    error = caught;
  }
  expect(error).toBeInstanceOf(StorageError);
  expect((error as StorageError).code).toBe('newer-file');
  expect((error as StorageError).message).toMatch(/later version.*Update lowdew/s);
  expect(readFileSync(path).equals(before)).toBe(true);
});

test('an older file gets the steps it lacks, once, and keeps its rows', () => {
  const folder = ownFolder();
  const path = join(folder, 'history.sqlite');
  const first = historyIn(folder);
  first.history.add(sample(START_MS, 21.5));
  first.history.close();
  const db = open(path);
  expect(db.prepare('PRAGMA user_version').get()?.['user_version']).toBe(1);
  db.close();
  expect(readAll(historyIn(folder).history, START_MS, START_MS + 1).mean).toEqual([21.5]);
});

test.each([
  ['history', (path: string) => openHistory({ open, path, clock: falseClock(START_MS) })],
  ['state', (path: string) => openState({ open, path, clock: falseClock(START_MS) })],
])('a data folder that cannot be: %s says which and what to do', (_name, opening) => {
  const folder = ownFolder();
  writeFileSync(join(folder, 'a-file'), '');
  let error: unknown;
  try {
    opening(join(folder, 'a-file', 'x.sqlite'));
  } catch (caught) {
    error = caught;
  }
  expect((error as StorageError).code).toBe('data-folder');
  expect((error as StorageError).message).toContain(join(folder, 'a-file'));
  expect((error as StorageError).message).toContain('data_dir');
});

test('a folder where the file should be is a data-folder mistake too', () => {
  const folder = ownFolder();
  mkdirSync(join(folder, 'history.sqlite'));
  expect(() => historyIn(folder)).toThrow(expect.objectContaining({ code: 'data-folder' }));
});
