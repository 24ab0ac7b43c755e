import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatCaptureRow, formatUserRow, parseCaptureRow } from '../../server/storage/capture-format.ts';

const AT_MS = Date.UTC(2026, 7, 22, 12, 4, 5, 678);
const HEAD = '2026-08-22T12:04:05.678Z\tusb\t';

// Expected rows are written out by hand from the format's description.
test.each([
  [
    'a good line',
    'LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5',
    'LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5',
  ],
  ['an empty line', '', ''],
  ['bytes that are not printable', 'a\x00b\x1f\x7f\x80\xff\r', 'a\\x00b\\x1F\\x7F\\x80\\xFF\\x0D'],
  ['a backslash', 'C:\\x41', 'C:\\x5Cx41'],
  ['a tab', 'a\tb', 'a\\x09b'],
])('%s', (_name, line, written) => {
  expect(formatCaptureRow(AT_MS, 'usb', line)).toBe(HEAD + written);
  expect(parseCaptureRow(HEAD + written)).toEqual({
    ok: true,
    atMs: AT_MS,
    source: 'usb',
    line,
    cut: false,
    entry: null,
  });
});

test('any line of bytes comes back as it was, or cut at its beginning part and marked so', () => {
  const latin1 = fc.uint8Array({ maxLength: 300 }).map((bytes) => Buffer.from(bytes).toString('latin1'));
  fc.assert(
    fc.property(latin1, fc.constantFrom('usb', 'a-much-longer-source-id', 'x'), (line, source) => {
      const row = formatCaptureRow(AT_MS, source, line);
      expect(Buffer.byteLength(row, 'utf8')).toBeLessThanOrEqual(240);
      expect(row).toMatch(/^[\x20-\x7e\t]*(\\…)?$/);
      const parsed = parseCaptureRow(row);
      if (!parsed.ok) throw new Error(parsed.reason);
      expect(parsed).toMatchObject({ atMs: AT_MS, source });
      if (parsed.cut) expect(line.startsWith(parsed.line)).toBe(true);
      else expect(parsed.line).toBe(line);
    }),
    { numRuns: 1000 },
  );
});

test('a row is cut only when it is over 240 bytes, and never within an escape', () => {
  const room = 240 - HEAD.length;
  expect(formatCaptureRow(AT_MS, 'usb', 'x'.repeat(room))).toBe(HEAD + 'x'.repeat(room));
  const cut = formatCaptureRow(AT_MS, 'usb', 'x'.repeat(room + 1));
  expect(cut).toBe(`${HEAD}${'x'.repeat(room - 4)}\\…`);
  for (let n = 0; n < 4; n++) {
    const row = formatCaptureRow(AT_MS, 'usb', `${'y'.repeat(n)}${'\x01'.repeat(100)}`);
    expect(row).toMatch(/^[^\t]*\t[^\t]*\ty*(\\x01)+\\…$/);
  }
});

test.each([
  ['', 'blank'],
  ['\r', 'blank'],
  ['LD1 box 3f2a 41 1 t=1 *0000', 'no-fields'],
  ['2026-08-22T12:04:05.678Z\tusb', 'no-fields'],
  ['2026-08-22T12:04:05Z\tusb\tx', 'bad-time'],
  ['2026-08-22T12:04:05.678+02:00\tusb\tx', 'bad-time'],
  ['2026-02-30T12:04:05.678Z\tusb\tx', 'bad-time'],
  ['\tusb\tx', 'bad-time'],
  ['2026-08-22T12:04:05.678Z\t\tx', 'bad-source'],
  ['2026-08-22T12:04:05.678Z\ta b\tx', 'bad-source'],
  [`${HEAD}caf\u00e9`, 'bad-byte'],
  [`${HEAD}a\tb`, 'bad-byte'],
  [`${HEAD}a\ufffdb`, 'bad-byte'],
  [`${HEAD}a\\nb`, 'bad-escape'],
  [`${HEAD}a\\x4`, 'bad-escape'],
  [`${HEAD}a\\`, 'bad-escape'],
  [`${HEAD}${'x'.repeat(5000)}`, 'too-long'],
  ['2026-08-22T12:04:05.678Z\t@user\tdried it', 'bad-entry'],
  ['2026-08-22T12:04:05.678Z\t@user\t[1]', 'bad-entry'],
  ['2026-08-22T12:04:05.678Z\t@user\t{"spool":"gear"}', 'bad-entry'],
])('%j is refused as %s', (row, reason) => {
  expect(parseCaptureRow(row)).toMatchObject({ ok: false, reason });
});

test('no row, whatever its bytes, makes the reader throw', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (row) => {
      parseCaptureRow(row);
      parseCaptureRow(HEAD + row);
      parseCaptureRow(`2026-08-22T12:04:05.678Z\t@user\t${row}`);
    }),
    { numRuns: 500 },
  );
});

test('a row that ends in CR is read as one that does not', () => {
  expect(parseCaptureRow(`${HEAD}x\r`)).toEqual(parseCaptureRow(`${HEAD}x`));
});

const entered = (row: string) => {
  const parsed = parseCaptureRow(row);
  if (!parsed.ok) throw new Error(`${parsed.reason}: ${parsed.detail}`);
  return parsed.entry;
};

test('what a person enters comes back as it was', () => {
  const entry = { kind: 'weigh-in', spool: 'gear', massG: 1187, resolutionG: 1 };
  const row = formatUserRow(AT_MS, entry);
  expect(row).toBe(
    '2026-08-22T12:04:05.678Z\t@user\t{"kind":"weigh-in","spool":"gear","massG":1187,"resolutionG":1}',
  );
  expect(entered(row ?? '')).toEqual(entry);
  for (const note of ['Größe 1,75 – "zäh" 🙂', 'back\\slash \\x41', 'two\nlines\tand a tab'])
    expect(entered(formatUserRow(AT_MS, { kind: 'job-end', note }) ?? '')).toEqual({ kind: 'job-end', note });
});

test('a row of a person typed by hand may hold JSON escapes and plain UTF-8', () => {
  const typed = '2026-08-22T12:04:05.678Z\t@user\t{"kind":"lid","note":"\\"zu\\" \\\\x41 \\u00e9é"}';
  expect(entered(typed)).toEqual({ kind: 'lid', note: '"zu" \\x41 éé' });
});

test('a note too long for a row is shortened, never the JSON', () => {
  for (const note of ['n'.repeat(1000), '🙂'.repeat(100), '\\'.repeat(300)]) {
    const row = formatUserRow(AT_MS, { kind: 'job-end', job: 'hinges', outcome: 'warped', note }) ?? '';
    expect(Buffer.byteLength(row)).toBeLessThanOrEqual(240);
    const entry = entered(row);
    expect(entry).toMatchObject({ kind: 'job-end', job: 'hinges', outcome: 'warped' });
    expect(note.startsWith(String(entry?.['note']).replace(/…$/, ''))).toBe(true);
  }
  expect(formatUserRow(AT_MS, { kind: 'x', many: Array(200).fill(1) })).toBeNull();
});
