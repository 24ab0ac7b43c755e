import { appendFileSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { type CaptureOptions, openCapture } from '../../server/storage/capture.ts';
import { formatCaptureRow } from '../../server/storage/capture-format.ts';
import { readCapture } from '../../server/storage/capture-reader.ts';
import { ownFolder, START_MS } from './bench-folder.ts';

function captureIn(folder: string, more: Partial<CaptureOptions> = {}) {
  const clock = falseClock(START_MS);
  const troubles: (string | null)[] = [];
  const capture = openCapture({ folder, clock, onTrouble: (trouble) => troubles.push(trouble), ...more });
  onTestFinished(() => capture.close());
  return { capture, clock, troubles };
}

const files = (folder: string): string[] => readdirSync(folder).sort();
const allText = (folder: string): string =>
  files(folder)
    .map((name) => readFileSync(join(folder, name), 'utf8'))
    .join('');

test('rows are written verbatim, in order, within five seconds', () => {
  const folder = ownFolder();
  const { capture, clock } = captureIn(folder);
  capture.line(START_MS, 'usb', 'LD1 box 3f2a 41 1 t=70.02 *0000');
  expect(capture.user(START_MS + 1, { kind: 'lid' })).toBe(true);
  capture.line(START_MS + 2, 'usb', 'half a l\xefne');
  expect(files(folder)).toEqual([]);
  clock.advance(5000);
  expect(files(folder)).toEqual(['capture-20260822T120005000Z.tsv']);
  expect(allText(folder)).toBe(
    '2026-08-22T12:00:00.000Z\tusb\tLD1 box 3f2a 41 1 t=70.02 *0000\n' +
      '2026-08-22T12:00:00.001Z\t@user\t{"kind":"lid"}\n' +
      '2026-08-22T12:00:00.002Z\tusb\thalf a l\\xEFne\n',
  );
});

test('closing writes what waits', () => {
  const folder = ownFolder();
  const { capture } = captureIn(folder);
  capture.line(START_MS, 'usb', 'x');
  capture.close();
  expect(allText(folder)).toBe('2026-08-22T12:00:00.000Z\tusb\tx\n');
});

test('files change by size, never within a row, and the oldest fall away', () => {
  const folder = ownFolder();
  writeFileSync(join(folder, 'notes.txt'), 'mine');
  const { capture, clock } = captureIn(folder, { maxFileBytes: 1000, maxFiles: 4 });
  const rows = Array.from({ length: 200 }, (_, n) =>
    formatCaptureRow(START_MS + n * 1000, 'usb', `row ${n}`),
  );
  for (let n = 0; n < 200; n++) {
    capture.line(START_MS + n * 1000, 'usb', `row ${n}`);
    clock.advance(1000);
  }
  capture.close();
  const captures = files(folder).filter((name) => name.startsWith('capture-'));
  expect(captures).toHaveLength(4);
  for (const name of captures) expect(statSync(join(folder, name)).size).toBeLessThanOrEqual(1000);
  const text = captures.map((name) => readFileSync(join(folder, name), 'utf8')).join('');
  // What is left is the end of all rows, without a gap.
  expect(`${rows.join('\n')}\n`.endsWith(text)).toBe(true);
  expect(text.split('\n').length).toBeGreaterThan(60);
  expect(readFileSync(join(folder, 'notes.txt'), 'utf8')).toBe('mine');
});

test('files change by age', () => {
  const folder = ownFolder();
  const { capture, clock } = captureIn(folder, { maxFileAgeMs: 60_000 });
  for (let n = 0; n < 36; n++) {
    capture.line(START_MS + n * 5000, 'usb', `row ${n}`);
    clock.advance(5000);
  }
  expect(files(folder)).toHaveLength(3);
});

test('a new process begins a new file, also within the same millisecond', () => {
  const folder = ownFolder();
  for (let n = 0; n < 3; n++) {
    const { capture } = captureIn(folder);
    capture.line(START_MS, 'usb', `process ${n}`);
    capture.close();
  }
  expect(files(folder)).toHaveLength(3);
});

test('a folder that cannot be written: said once, held in memory, written later', () => {
  const folder = join(ownFolder(), 'captures');
  writeFileSync(folder, 'a file is in the way');
  const { capture, clock, troubles } = captureIn(folder);
  for (let n = 0; n < 10; n++) {
    capture.line(START_MS + n, 'usb', `row ${n}`);
    clock.advance(5000);
  }
  expect(troubles).toHaveLength(1);
  expect(troubles[0]).toMatch(/cannot be written .* held in memory/);
  expect(capture.counts()).toMatchObject({ pending: 10, rows: 0 });
  rmSync(folder);
  clock.advance(5000);
  expect(troubles).toHaveLength(2);
  expect(troubles[1]).toBeNull();
  expect(allText(folder).split('\n')).toHaveLength(11);
});

test('memory for rows that cannot be written has its limit', () => {
  const folder = join(ownFolder(), 'captures');
  writeFileSync(folder, 'in the way');
  const { capture } = captureIn(folder);
  for (let n = 0; n < 60_000; n++) capture.line(START_MS + n, 'usb', 'x');
  const { pending, lost } = capture.counts();
  expect(pending).toBeLessThanOrEqual(50_000);
  expect(pending + lost).toBe(60_000);
  rmSync(folder);
});

async function parsed(path: string) {
  const rows = [];
  for await (const row of readCapture(path)) rows.push(row);
  return rows;
}

test('a capture is read row by row, bad rows named, the last one without an ending too', async () => {
  const path = join(ownFolder(), 'a.tsv');
  const good = formatCaptureRow(START_MS, 'usb', 'x');
  writeFileSync(path, `${good}\r\n\nnonsense\n`);
  appendFileSync(path, 'y'.repeat(200_000));
  appendFileSync(path, `\n${good}`);
  expect((await parsed(path)).map((row) => (row.ok ? row.line : row.reason))).toEqual([
    'x',
    'blank',
    'no-fields',
    'too-long',
    'x',
  ]);
});

test('what was written is read back, across the borders of chunks', async () => {
  const folder = ownFolder();
  const { capture } = captureIn(folder);
  const lines = Array.from({ length: 5000 }, (_, n) => `line ${n} \xc3\xa9 ${'z'.repeat(n % 90)}`);
  for (const [n, line] of lines.entries()) capture.line(START_MS + n, 'usb', line);
  capture.close();
  const rows = await parsed(join(folder, files(folder)[0] ?? ''));
  expect(rows.map((row) => row.ok && row.line)).toEqual(lines);
});

test('a missing capture is an error of the file system, told as such', async () => {
  await expect(parsed(join(ownFolder(), 'none.tsv'))).rejects.toMatchObject({ code: 'ENOENT' });
});
