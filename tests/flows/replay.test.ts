import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { readBenchFile } from '../../server/cli/read-bench-file.ts';
import { replayCommand } from '../../server/cli/replay.ts';
import { RECORD_KINDS, type RecordKind } from '../../server/replay.ts';
import { createRandom } from '../random.ts';

const folder = mkdtempSync(join(tmpdir(), 'lowdew-replay-'));
afterAll(() => rmSync(folder, { recursive: true }));

const BENCH = `
[[station]]
id = "box"
role = "drybox"
[[station]]
id = "room"
role = "room"
`;
const T0 = Date.UTC(2026, 10, 25, 8, 0, 3);

interface Sent {
  readonly atMs: number;
  readonly line: string;
}
/** Two stations of one board at 0.1 Hz: a box drifting, a room wandering. */
const board = (count: number): Sent[] =>
  Array.from({ length: count }, (_, i) => {
    const station = i % 2 ? 'room' : 'box';
    const values =
      i % 2 ? { t: 22 + 0.01 * (i % 40), rh: 45 } : { t: 70 + 0.01 * (i % 37), rh: 5 + 0.01 * (i % 11) };
    const line = encodeReading(
      { station, boot: '3f2a', seq: i, uptimeMs: 1000 + i * 5000, values, faults: {} },
      2,
    );
    return { atMs: T0 + i * 5000, line };
  });
const rows = (sent: readonly Sent[]): string =>
  sent.map(({ atMs, line }) => `${new Date(atMs).toISOString()}\tusb\t${line}\n`).join('');

let files = 0;
async function replay(
  capture: string,
  options: { every?: number; kinds?: RecordKind[]; bench?: string } = {},
) {
  const capturePath = join(folder, `${++files}.capture`);
  const benchPath = join(folder, `${files}.toml`);
  writeFileSync(capturePath, capture);
  writeFileSync(benchPath, options.bench ?? BENCH);
  const out: string[] = [];
  const err: string[] = [];
  const terminal = { out: (text: string) => out.push(text), err: (text: string) => err.push(text) };
  const bench = await readBenchFile(benchPath, terminal);
  if (!bench) throw new Error(err.join('\n'));
  const kinds = new Set<RecordKind>(options.kinds ?? RECORD_KINDS.filter((kind) => kind !== 'reading'));
  const code = await replayCommand(
    { capture: capturePath, bench, everyS: options.every ?? 60, kinds, format: 'ndjson' },
    terminal,
  );
  const records = out.map((line) => JSON.parse(line) as Record<string, unknown>);
  return { code, err, text: out.join('\n'), records, summary: records.at(-1) as Record<string, unknown> };
}

describe('a capture replayed', () => {
  test('twice is the same to the byte', async () => {
    const capture = rows(board(400));
    expect((await replay(capture)).text).toBe((await replay(capture)).text);
  });

  test('is another when any one reading moves by 1 °C or 5 %RH', async () => {
    const sent = board(60);
    const before = (await replay(rows(sent))).text;
    for (const [i, key, step] of [
      [0, 't', 1],
      [17, 'rh', 5],
      [30, 't', -1],
      [58, 'rh', -5],
      [59, 't', 1],
    ] as const) {
      const moved = sent.map((row, j) => {
        if (j !== i) return row;
        const station = i % 2 ? 'room' : 'box';
        const base: { t: number; rh: number } =
          i % 2 ? { t: 22 + 0.01 * (i % 40), rh: 45 } : { t: 70 + 0.01 * (i % 37), rh: 5 + 0.01 * (i % 11) };
        const values = { ...base, [key]: base[key] + step };
        return {
          ...row,
          line: encodeReading(
            { station, boot: '3f2a', seq: i, uptimeMs: 1000 + i * 5000, values, faults: {} },
            2,
          ),
        };
      });
      expect((await replay(rows(moved))).text, `reading ${i}, ${key}`).not.toBe(before);
    }
  });

  test('gives air at each multiple of the step, after that second, and once at the last row', async () => {
    const { records } = await replay(rows(board(60)), { kinds: ['air'] });
    const box = records.filter((r) => r['station'] === 'box').map((r) => r['at']);
    expect(box).toEqual([
      '2026-11-25T08:01:00.000Z',
      '2026-11-25T08:02:00.000Z',
      '2026-11-25T08:03:00.000Z',
      '2026-11-25T08:04:00.000Z',
      '2026-11-25T08:04:58.000Z',
    ]);
  });

  test('neither the step, nor another station, nor the kinds asked for change a number', async () => {
    const sent = board(400);
    const pick = (records: Record<string, unknown>[], at: string) =>
      records.filter((r) => r['kind'] === 'air' && r['station'] === 'box' && r['at'] === at);
    const all = await replay(rows(sent));
    const at = '2026-11-25T08:10:00.000Z';
    const want = pick(all.records, at);
    expect(want).toHaveLength(1);
    expect(pick((await replay(rows(sent), { every: 600 })).records, at)).toEqual(want);
    expect(pick((await replay(rows(sent), { kinds: ['reading', 'air'] })).records, at)).toEqual(want);
    const alone = sent.filter((_, i) => i % 2 === 0);
    expect(pick((await replay(rows(alone))).records, at)).toEqual(want);
  });

  test('takes a row earlier than its predecessor at the later time and counts it', async () => {
    const sent = board(10);
    const swapped = [...sent.slice(0, 4), sent[5], sent[4], ...sent.slice(6)] as Sent[];
    const { summary, records } = await replay(rows(swapped), { kinds: ['reading', 'summary'] });
    expect(summary).toMatchObject({ clockStepped: 1, readings: 9 });
    expect(records[4]?.['at']).toBe(new Date(T0 + 25_000).toISOString());
  });

  test('refuses one row with a damaged timestamp instead of losing all after it', async () => {
    const sent = board(100);
    const damaged = sent.map((row, i) =>
      i === 50 ? { ...row, atMs: row.atMs + 400 * 365 * 86_400_000 } : row,
    );
    const { summary } = await replay(rows(damaged));
    expect(summary).toMatchObject({ readings: 99, clockStepped: 0, refused: { 'time-leap': 1 } });
    const first = sent.map((row, i) => (i === 0 ? { ...row, atMs: row.atMs + 3_600_000 } : row));
    expect((await replay(rows(first))).summary).toMatchObject({ readings: 99, refused: { 'time-leap': 1 } });
  });

  test('a month of silence inside it costs nothing and claims nothing', async () => {
    const sent = board(20);
    const { records } = await replay(
      rows(sent.map((row, i) => (i < 10 ? row : { ...row, atMs: row.atMs + 60 * 86_400_000 }))),
    );
    expect(records.length).toBeLessThan(20);
  });

  test('30 % of the lines damaged: every untouched one is read, every other refused by name', async () => {
    const sent = board(6000);
    const random = createRandom(97);
    const pick = (n: number): number => Math.floor(random() * n);
    const printable = (): string => String.fromCharCode(0x20 + pick(0x5f));
    const clean = new Set<string>();
    const lines: string[] = [];
    for (let i = 0; i < sent.length; i++) {
      const { line } = sent[i] as Sent;
      if (random() >= 0.3) {
        clean.add(line);
        lines.push(line);
        continue;
      }
      let hit = line;
      for (let edits = 1 + pick(5); edits > 0; edits--) {
        const at = pick(hit.length);
        const kind = pick(4);
        if (kind === 0) hit = hit.slice(0, at) + printable() + hit.slice(at + 1);
        else if (kind === 1) hit = hit.slice(0, at) + printable() + hit.slice(at);
        else if (kind === 2) hit = hit.slice(0, at) + hit.slice(at + 1);
        else hit = hit.slice(0, at) + (sent[pick(sent.length)] as Sent).line.slice(pick(40));
      }
      lines.push(hit === line ? `${hit}#` : hit);
    }
    const capture = lines
      .map((line, i) => `${new Date(T0 + i * 5000).toISOString()}\tusb\t${line.replaceAll('\\', '\\x5C')}\n`)
      .join('');
    const { records, summary } = await replay(capture, { kinds: ['reading', 'summary'] });
    const readings = records.filter((r) => r['kind'] === 'reading');
    const refused = Object.values(summary['refused'] as Record<string, number>).reduce((a, b) => a + b, 0);
    expect(readings.length).toBeGreaterThanOrEqual(clean.size);
    expect(readings.length - clean.size).toBeLessThanOrEqual(1);
    expect(refused + readings.length).toBe(6000);
    expect(Object.keys(summary['refused'] as object).sort()).toEqual(
      expect.arrayContaining(['crc', 'no-checksum', 'not-a-line']),
    );
  }, 60_000);
});

describe('what cannot be replayed', () => {
  test('a file that is not a capture', async () => {
    const { code, err } = await replay('hello\nworld\n');
    expect(code).toBe(3);
    expect(err.join()).toContain('is not a capture: none of its 2 rows is time, tab, source, tab, line.');
  });
  test('a capture that does not exist', async () => {
    const out: string[] = [];
    const terminal = { out: () => {}, err: (text: string) => out.push(text) };
    writeFileSync(join(folder, 'b.toml'), BENCH);
    const bench = await readBenchFile(join(folder, 'b.toml'), terminal);
    const command = {
      capture: join(folder, 'none'),
      bench: bench as NonNullable<typeof bench>,
      everyS: 60,
      kinds: new Set<RecordKind>(),
      format: 'text' as const,
    };
    expect(await replayCommand(command, terminal)).toBe(3);
    expect(out.join()).toContain('does not exist');
  });
  test('an empty capture is an empty replay', async () => {
    const { code, summary } = await replay('');
    expect(code).toBe(0);
    expect(summary).toMatchObject({ kind: 'summary', rows: 0, readings: 0 });
  });
});
