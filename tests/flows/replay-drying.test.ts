import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { crc16, crcHex } from '../../firmware-protocol/crc.ts';
import { planStartFromCapture } from '../../server/cli/plan-start.ts';
import { readBenchFile } from '../../server/cli/read-bench-file.ts';
import { replayCommand } from '../../server/cli/replay.ts';
import type { DryingRecord } from '../../server/records.ts';
import type { RecordKind } from '../../server/replay.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { recordCapture } from '../../simulators/play.ts';
import { scenarioNamed } from '../../simulators/scenarios.ts';

/** An evening of the drying box in the invented overnight story: the capture is simulated, the judgement is not. */
const folder = mkdtempSync(join(tmpdir(), 'lowdew-drying-'));
afterAll(() => rmSync(folder, { recursive: true }));
const T0 = Date.UTC(2026, 10, 25, 18, 30, 0);
const HOURS = 2.6;
let rows: readonly string[];
let benchPath: string;
let base: Awaited<ReturnType<typeof replay>>;
let files = 0;

beforeAll(async () => {
  const scenario = scenarioNamed('gear-overnight');
  if (!scenario) throw new Error('the story is gone');
  // A fifth of the pace: two thousand rows tell the same.
  const slower = { ...scenario, boards: scenario.boards.map((board) => ({ ...board, everyMs: 10_000 })) };
  rows = recordCapture(slower, HOURS, T0);
  benchPath = join(folder, 'bench.toml');
  writeFileSync(
    benchPath,
    benchFileText(slower, () => '/dev/null'),
  );
  base = await replay(rows);
}, 60_000);

async function replay(capture: readonly string[], everyS = 600, kinds: RecordKind[] = ['drying']) {
  const path = join(folder, `${++files}.capture`);
  writeFileSync(path, capture.map((row) => `${row}\n`).join(''));
  const out: string[] = [];
  const terminal = { out: (text: string) => out.push(text), err: () => {} };
  const bench = await readBenchFile(benchPath, terminal);
  if (!bench) throw new Error('the bench file is broken');
  await replayCommand({ capture: path, bench, everyS, kinds: new Set(kinds), format: 'ndjson' }, terminal);
  return { text: out.join('\n'), records: out.map((line) => JSON.parse(line) as DryingRecord) };
}
const at = (records: readonly DryingRecord[], hours: number) =>
  records.find(
    (record) => record.kind === 'drying' && record.at === new Date(T0 + hours * 3_600_000).toISOString(),
  );

test('the drying run begins by itself, and its band narrows as the box speaks', async () => {
  const { records, text } = base;
  expect(records[0]?.state).toBe('holding');
  expect(records.map(({ state }) => state)).toContain('drying');
  const last = records.at(-1) as DryingRecord;
  const width = ({ moistureWtPercent: w }: DryingRecord) => Math.log(w.p95 / w.p05);
  expect(width(last)).toBeLessThan(width(records[0] as DryingRecord));
  expect(last.moistureWtPercent.p50).toBeLessThan((records[0] as DryingRecord).moistureWtPercent.p50);
  expect(last.dryAt.p50 === null ? last.dryAtReason.p50 : Date.parse(last.dryAt.p50)).toBeTruthy();
  expect((await replay(rows)).text).toBe(text);
}, 60_000);

test('neither the step, nor the other kinds, nor stations that bear on nothing change a number', async () => {
  const want = at(base.records, 2);
  expect(want).toBeDefined();
  expect(at((await replay(rows, 60)).records, 2)).toEqual(want);
  expect(at((await replay(rows, 1800, ['air', 'drying', 'reading'])).records, 2)).toEqual(want);
  const without = rows.filter((row) => !/ (rig|cabinet) /.test(row));
  expect(without.length).toBeLessThan(rows.length);
  expect(at((await replay(without)).records, 2)).toEqual(want);
}, 60_000);

test('one reading of the box moved by 5 %RH is seen', async () => {
  const i = rows.findIndex((row, k) => k > 1200 && / box /.test(row));
  const moved = rows.map((row, k) => {
    if (k !== i) return row;
    const [head, body] = [row.slice(0, row.lastIndexOf('LD1')), row.slice(row.lastIndexOf('LD1'), -6)];
    const shifted = body.replace(/rh=(-?[0-9.]+)/, (_, rh: string) => `rh=${(Number(rh) + 5).toFixed(2)}`);
    return `${head}${shifted} *${crcHex(crc16(shifted))}`;
  });
  expect((await replay(moved)).text).not.toBe(base.text);
}, 60_000);

test('two weigh-ins are taken up from the capture', async () => {
  const weighed = (hours: number, massG: number): string =>
    `${new Date(T0 + hours * 3_600_000).toISOString()}\t@user\t${JSON.stringify({ kind: 'weigh-in', spool: 'gear', massG, resolutionG: 0.1 })}`;
  const entries = [weighed(0.2, 700), weighed(2.2, 692)];
  const both = [...rows, ...entries].sort((a, b) => (a < b ? -1 : 1));
  const before = at(base.records, 2.5) as DryingRecord;
  const after = at((await replay(both)).records, 2.5) as DryingRecord;
  expect(after.moistureWtPercent).not.toEqual(before.moistureWtPercent);
  const mistaken = [...rows, weighed(1, 700).replace('gear', 'geer')].sort((a, b) => (a < b ? -1 : 1));
  const { records } = await replay(mistaken, 600, ['summary']);
  expect(records.at(-1)).toMatchObject({ refused: { 'entry-unknown-name': 1 } });
}, 60_000);

test('a weigh-in taken back is seen by a replay too: from then on it counts no more', async () => {
  const row = (hours: number, entry: object): string =>
    `${new Date(T0 + hours * 3_600_000).toISOString()}\t@user\t${JSON.stringify(entry)}`;
  const first = row(0.2, { kind: 'weigh-in', spool: 'gear', massG: 700, resolutionG: 0.1 });
  const wrong = row(1.95, { kind: 'weigh-in', spool: 'gear', massG: 640, resolutionG: 0.1 });
  const undone = row(2.1, { kind: 'weigh-in-undone', spool: 'gear' });
  const run = async (entries: readonly string[]) =>
    (await replay([...rows, ...entries].sort((a, b) => (a < b ? -1 : 1)))).records;
  const [clean, misled, mended] = [
    await run([first]),
    await run([first, wrong]),
    await run([first, wrong, undone]),
  ];
  const median = (records: readonly DryingRecord[]): number => at(records, 2.5)!.moistureWtPercent.p50;
  // Sixty grams that never went, of half a kilogram.
  expect(Math.abs(median(misled) / median(clean) - 1)).toBeGreaterThan(0.1);
  expect(Math.abs(median(mended) / median(clean) - 1)).toBeLessThan(0.02);
  const tooMany = [...rows, undone].sort((a, b) => (a < b ? -1 : 1));
  const { records } = await replay(tooMany, 600, ['summary']);
  expect(records.at(-1)).toMatchObject({ refused: { 'entry-nothing-to-undo': 1 } });
}, 120_000);

test('a start check asked of the capture says when, and that more certainty takes longer', async () => {
  const path = join(folder, 'asked.capture');
  writeFileSync(path, rows.map((row) => `${row}\n`).join(''));
  const ask = async (sure: number, spool = 'gear', format: 'json' | 'text' = 'json') => {
    const out: string[] = [];
    const err: string[] = [];
    const terminal = { out: (text: string) => out.push(text), err: (text: string) => err.push(text) };
    const bench = await readBenchFile(benchPath, terminal);
    if (!bench) throw new Error('the bench file is broken');
    const query = { spool, grams: 60, hours: 3, sure };
    const code = await planStartFromCapture({ query, withChamber: false, format }, path, bench, terminal);
    return { code, out, err };
  };
  const early = JSON.parse((await ask(0.5)).out[0] ?? '');
  const late = JSON.parse((await ask(0.8)).out[0] ?? '');
  expect(early.outcome).toBe('start-later');
  expect(Date.parse(early.earliestAt)).toBeGreaterThan(Date.parse(early.askedAt));
  expect(early.ifNow.pSpool).toBeLessThan(0.5);
  expect(late.hoursToSpool ?? Number.POSITIVE_INFINITY).toBeGreaterThan(early.hoursToSpool);
  expect((await ask(0.5, 'gear', 'text')).out[0]).toMatch(/^Start at /);
  expect(await ask(0.5, 'none')).toMatchObject({ code: 2, err: [expect.stringContaining('it has gear')] });
});
