import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { StorageError } from '../../server/storage/errors.ts';
import { open, ownFolder } from './bench-folder.ts';

const codeOf = (call: () => unknown): string => {
  try {
    call();
  } catch (error) {
    return error instanceof StorageError ? error.code : `not a StorageError: ${error}`;
  }
  return 'nothing thrown';
};

test("Node's own engine is taken where it is whole, else the packaged one", () => {
  const db = open(join(ownFolder(), 'a.sqlite'));
  const builtIn = process.getBuiltinModule('node:sqlite') as { backup?: unknown } | undefined;
  expect(db.engine).toBe(builtIn?.backup ? 'node:sqlite' : '@photostructure/sqlite');
  db.close();
});

// Not among them: a text with a NUL character and a number nearer to 0 than 2.2e-16, which the packaged engine shortens
// to the NUL and to 0. State is JSON, which writes NUL as an escape, and the finest step of a line is 1e-6.
test('numbers, texts and nulls come back as they went in', () => {
  const db = open(join(ownFolder(), 'a.sqlite'));
  db.exec('CREATE TABLE one (whole INTEGER, real REAL, text TEXT) STRICT');
  const values: [number, number, string | null][] = [
    [1_787_400_000_123, -0.1, 'snowman ☃ and \n \t'],
    [0, Number.MAX_VALUE, null],
    [Number.MAX_SAFE_INTEGER, Math.PI, '€'],
    [-1, 1e-15, ''],
  ];
  const insert = db.prepare('INSERT INTO one VALUES (?, ?, ?)');
  for (const row of values) expect(insert.run(...row)).toBe(1);
  const rows = db.prepare('SELECT * FROM one ORDER BY rowid').all();
  expect(rows.map((row) => [row['whole'], row['real'], row['text']])).toEqual(values);
  expect(db.prepare('SELECT 1 WHERE 0').get()).toBeUndefined();
  db.close();
});

test('a transaction that throws leaves nothing, and the next one works', () => {
  const db = open(join(ownFolder(), 'a.sqlite'));
  db.exec('CREATE TABLE one (n INTEGER)');
  const insert = db.prepare('INSERT INTO one VALUES (?)');
  expect(() =>
    db.inTransaction(() => {
      insert.run(1);
      throw new Error('stop');
    }),
  ).toThrow('stop');
  expect(db.inTransaction(() => insert.run(2))).toBe(1);
  expect(db.prepare('SELECT n FROM one').all()).toHaveLength(1);
  db.close();
});

// Result codes of SQLite: https://sqlite.org/rescode.html (FULL 13, READONLY 8, NOTADB 26, CANTOPEN 14, BUSY 5).
test("each of SQLite's complaints gets its own code", () => {
  const folder = ownFolder();
  const path = join(folder, 'a.sqlite');
  const db = open(path);
  db.exec('PRAGMA journal_mode = WAL; CREATE TABLE one (text TEXT)');
  db.exec('PRAGMA max_page_count = 4');
  expect(codeOf(() => db.exec(`INSERT INTO one VALUES ('${'x'.repeat(50_000)}')`))).toBe('disk-full');
  const reader = open(path, 'read-only');
  expect(codeOf(() => reader.exec("INSERT INTO one VALUES ('x')"))).toBe('read-only');
  reader.close();
  expect(codeOf(() => db.exec('SELECT * FROM nowhere'))).toBe('store-failed');
  db.close();
  const noDatabase = join(folder, 'b.sqlite');
  writeFileSync(noDatabase, 'anything but a database '.repeat(100));
  expect(codeOf(() => open(noDatabase).exec('PRAGMA journal_mode = WAL'))).toBe('damaged');
  expect(codeOf(() => open(join(folder, 'no/such/folder/a.sqlite')))).toBe('data-folder');
});

test('a second writer is told that the file is busy', () => {
  const path = join(ownFolder(), 'a.sqlite');
  const first = open(path);
  first.exec('PRAGMA journal_mode = WAL; CREATE TABLE one (n INTEGER)');
  const second = open(path);
  second.exec('PRAGMA busy_timeout = 1');
  first.inTransaction(() => {
    expect(codeOf(() => second.inTransaction(() => 0))).toBe('busy');
  });
  expect(second.inTransaction(() => 'free now')).toBe('free now');
  first.close();
  second.close();
});

test('closing leaves one file, even while statements are still held', () => {
  const folder = ownFolder();
  const db = open(join(folder, 'a.sqlite'));
  db.exec('PRAGMA journal_mode = WAL; CREATE TABLE one (n INTEGER)');
  const held = db.prepare('INSERT INTO one VALUES (?)');
  held.run(1);
  held.run(2);
  const read = db.prepare('SELECT n FROM one');
  read.get();
  db.close();
  expect(readdirSync(folder)).toEqual(['a.sqlite']);
  expect(() => read.all()).toThrow(StorageError);
});

test('a copy made while another connection writes is whole', async () => {
  const folder = ownFolder();
  const path = join(folder, 'a.sqlite');
  const writer = open(path);
  writer.exec('PRAGMA journal_mode = WAL; CREATE TABLE one (n INTEGER PRIMARY KEY, text TEXT)');
  const insert = writer.prepare('INSERT INTO one (text) VALUES (?)');
  writer.inTransaction(() => {
    for (let n = 0; n < 20_000; n++) insert.run('x'.repeat(100));
  });
  const reader = open(path, 'read-only');
  const copyPath = join(folder, 'copy.sqlite');
  let copied = false;
  const copying = reader.backupTo(copyPath).then(() => {
    copied = true;
  });
  let during = 0;
  while (!copied) {
    insert.run('y');
    during++;
    await new Promise(setImmediate);
  }
  await copying;
  reader.close();
  writer.close();
  expect(existsSync(copyPath)).toBe(true);
  const copy = open(copyPath, 'read-only');
  expect(copy.prepare('PRAGMA integrity_check').get()?.['integrity_check']).toBe('ok');
  const rows = Number(copy.prepare('SELECT count(*) AS n FROM one').get()?.['n']);
  expect(rows).toBeGreaterThanOrEqual(20_000);
  expect(rows).toBeLessThanOrEqual(20_000 + during);
  copy.close();
});
