import { PassThrough, Readable } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MAX_ROW_BYTES } from '../../server/serial/length-guard.ts';
import { type RawLine, readLines } from '../../server/serial/lines.ts';

async function linesOf(chunks: readonly Buffer[]): Promise<RawLine[]> {
  const lines: RawLine[] = [];
  for await (const line of readLines(Readable.from(chunks, { objectMode: false })).lines) lines.push(line);
  return lines;
}

/** The same, said in the plainest way over the whole text at once. */
function plainLinesOf(text: string): RawLine[] {
  const rows = text.split('\n');
  const tail = rows.pop() as string;
  const bare = (row: string): string => (row.endsWith('\r') ? row.slice(0, -1) : row);
  const isLong = (row: string): boolean => bare(row).length > MAX_ROW_BYTES;
  const lines = rows.map((row): RawLine => {
    if (isLong(row)) return { text: row.slice(0, MAX_ROW_BYTES + 1), mark: 'over-long' };
    return { text: bare(row), mark: 'whole' };
  });
  // An unfinished line is known to be too long once it is so with any ending.
  if (tail.length >= MAX_ROW_BYTES + 2)
    lines.push({ text: tail.slice(0, MAX_ROW_BYTES + 1), mark: 'over-long' });
  else if (tail.length > 0) lines.push({ text: bare(tail), mark: 'partial' });
  return lines;
}

describe('lines from bytes', () => {
  test.each([
    ['one line', 'abc\n', [['abc', 'whole']]],
    ['a carriage return taken off', 'abc\r\n', [['abc', 'whole']]],
    ['only one of them', 'abc\r\r\n', [['abc\r', 'whole']]],
    ['a carriage return inside is kept', 'a\rb\n', [['a\rb', 'whole']]],
    [
      'two lines at once',
      'a\nb\n',
      [
        ['a', 'whole'],
        ['b', 'whole'],
      ],
    ],
    [
      'blank lines',
      '\n\r\n',
      [
        ['', 'whole'],
        ['', 'whole'],
      ],
    ],
    [
      'an unfinished one',
      'a\nb',
      [
        ['a', 'whole'],
        ['b', 'partial'],
      ],
    ],
    ['nothing', '', []],
    ['a high byte', '\xff\xfe\x80\n', [['\xff\xfe\x80', 'whole']]],
    ['240 bytes', `${'x'.repeat(240)}\n`, [['x'.repeat(240), 'whole']]],
    ['240 bytes and CRLF', `${'x'.repeat(240)}\r\n`, [['x'.repeat(240), 'whole']]],
    ['241 bytes', `${'x'.repeat(241)}\n`, [['x'.repeat(241), 'over-long']]],
    ['241 bytes and CRLF', `${'x'.repeat(241)}\r\n`, [['x'.repeat(241), 'over-long']]],
    [
      '1,000 bytes, then a line',
      `${'x'.repeat(1000)}\nab\n`,
      [
        ['x'.repeat(241), 'over-long'],
        ['ab', 'whole'],
      ],
    ],
    ['1,000 bytes without an end', 'x'.repeat(1000), [['x'.repeat(241), 'over-long']]],
  ])('%s', async (_name, bytes, expected) => {
    const lines = await linesOf([Buffer.from(bytes, 'latin1')]);
    expect(lines.map(({ text, mark }) => [text, mark])).toEqual(expected);
  });

  test('are the same however the bytes are cut into chunks', async () => {
    const piece = fc.oneof(
      { weight: 4, arbitrary: fc.constantFrom('\n', '\r\n', '\r', 'a', 'LD1 box', '\xff') },
      { weight: 1, arbitrary: fc.integer({ min: 236, max: 500 }).map((length) => 'y'.repeat(length)) },
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(piece, { maxLength: 40 }),
        fc.array(fc.integer({ min: 1, max: 300 }), { minLength: 1, maxLength: 20 }),
        async (pieces, sizes) => {
          const bytes = Buffer.from(pieces.join(''), 'latin1');
          const chunks: Buffer[] = [];
          for (let at = 0, turn = 0; at < bytes.length; turn++) {
            const size = sizes[turn % sizes.length] as number;
            chunks.push(bytes.subarray(at, at + size));
            at += size;
          }
          expect(await linesOf(chunks)).toEqual(plainLinesOf(pieces.join('')));
        },
      ),
      { numRuns: 300, seed: 240 },
    );
  });

  test('that wait for a slow taker are not glued together', async () => {
    const bytes = new PassThrough();
    const { lines } = readLines(bytes);
    bytes.end(Array.from({ length: 500 }, (_, i) => `line ${i}\n`).join(''));
    const taken: string[] = [];
    for await (const line of lines) {
      taken.push(line.text);
      await new Promise((settle) => setImmediate(settle));
    }
    expect(taken).toEqual(Array.from({ length: 500 }, (_, i) => `line ${i}`));
  });

  test('end where the bytes break off with an error', async () => {
    const bytes = new PassThrough();
    const taken: RawLine[] = [];
    const { lines } = readLines(bytes);
    bytes.write('a\nb');
    for await (const line of lines) {
      taken.push(line);
      if (line.text === 'a') bytes.destroy(new Error('gone'));
    }
    expect(taken).toEqual([
      { text: 'a', mark: 'whole' },
      { text: 'b', mark: 'partial' },
    ]);
  });
});

test('10 MB without a line feed cost no memory, are counted, and the next line is read', async () => {
  // One chunk over and over, so that all memory that grows is ours.
  const chunk = Buffer.alloc(64 * 1024, 0x78);
  const total = 160 * chunk.length;
  const before = process.memoryUsage().arrayBuffers;
  let most = 0;
  function* noise(): Generator<Buffer> {
    for (let sent = 0; sent < total; sent += chunk.length) {
      yield chunk;
      most = Math.max(most, process.memoryUsage().arrayBuffers - before);
    }
    yield Buffer.from('\nLD1\n');
  }
  const reader = readLines(Readable.from(noise(), { objectMode: false }));
  const lines: RawLine[] = [];
  for await (const line of reader.lines) lines.push(line);
  expect(total).toBeGreaterThan(10_000_000);
  expect(lines).toEqual([
    { text: 'x'.repeat(241), mark: 'over-long' },
    { text: 'LD1', mark: 'whole' },
  ]);
  expect(reader.droppedBytes()).toBe(total - 242);
  expect(most).toBeLessThan(1_000_000);
});
