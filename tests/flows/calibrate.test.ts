/** From a sensor held over salts, or beside another, or a loaded scale, to constants that a replay then lives by. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { calibrateSaltsCommand } from '../../server/cli/calibrate-salts.ts';
import { calibrateScaleCommand } from '../../server/cli/calibrate-scale.ts';
import { calibrateSideBySideCommand } from '../../server/cli/calibrate-side-by-side.ts';
import { readBenchFile } from '../../server/cli/read-bench-file.ts';
import { replayCommand } from '../../server/cli/replay.ts';
import type { Terminal } from '../../server/cli/terminal.ts';
import { parseSpan } from '../../server/cli/time-span.ts';
import type { BenchConfig } from '../../server/config/bench.ts';
import type { RecordKind } from '../../server/replay.ts';
import { formatCaptureRow } from '../../server/storage/capture-format.ts';
import { type Random, seededRandom } from '../../simulators/random.ts';
import { type Program, startProgram } from './program.ts';

let folder: string;
const running: Program[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lowdew-calibrate-'));
});
afterEach(() => {
  for (const { child } of running.splice(0)) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

const START_MS = Date.UTC(2026, 2, 1, 10);
const clock = (minute: number): string =>
  new Date(START_MS + minute * 60_000).toISOString().replace(':00.000Z', 'Z');
const between = (from: number, to: number): string => `${clock(from)}/${clock(to)}`;
/** What is wrong with the box's sensors. */
const GAIN = 0.95;
const OFFSET = 2.2;
const COLD_BY = 0.4;

/** Every 10 s: half an hour of salt, a change, half an hour of salt, then an hour in room air beside the room's sensor. */
function writeCaptures(random: Random): string {
  const captures = join(folder, 'captures');
  mkdirSync(captures);
  let seq = 0;
  const rows = { 1: '', 2: '' };
  for (let s = 0; s < 7200; s += 10) {
    const minute = s / 60;
    // Fixed points at 25 °C, published; 34 % is what the room has. Between them the sensor is on its way.
    const meant = minute < 30 ? 11.3 : minute < 40 ? 11.3 + 6.4 * (minute - 30) : minute < 70 ? 75.29 : 34;
    const t = minute < 70 ? 25 : 22;
    const said = {
      t: t - COLD_BY + random.normal(0, 0.01),
      rh: (meant - OFFSET) / GAIN + random.normal(0, 0.02),
    };
    for (const [station, values] of [
      ['box', said],
      ['room', { t: 22, rh: 34 }],
    ] as const) {
      const line = encodeReading(
        { station, boot: '3f2a', seq: seq++, uptimeMs: 1000 + s * 1000, values, faults: {} },
        2,
      );
      rows[minute < 60 ? 1 : 2] += `${formatCaptureRow(START_MS + s * 1000, 'usb', line)}\n`;
    }
  }
  writeFileSync(join(captures, 'capture-20260301T100000000Z.tsv'), rows[1]);
  writeFileSync(join(captures, 'capture-20260301T110000000Z.tsv'), rows[2]);
  writeFileSync(join(folder, 'all.tsv'), rows[1] + rows[2]);
  return captures;
}

const bench = (constants = ''): string => {
  const path = join(folder, 'bench.toml');
  writeFileSync(
    path,
    `[[station]]\nid = "box"\nrole = "drybox"\n${constants}\n[[station]]\nid = "room"\nrole = "room"\n`,
  );
  return path;
};
async function lowdew(...args: string[]): Promise<{ code: number | null; out: string; err: string }> {
  const program = startProgram(args);
  running.push(program);
  return { code: await program.ended(), out: program.out(), err: program.err() };
}

/** The same commands without a process of their own. */
async function inProcess(run: (terminal: Terminal) => Promise<number>) {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await run({ out: (text) => out.push(text), err: (text) => err.push(text) });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

const benchOf = async (path: string): Promise<BenchConfig> => {
  const file = await readBenchFile(path, { out: () => {}, err: () => {} });
  if (!file) throw new Error('a bad bench');
  return file;
};
/** Records of a replay. */
async function replayed(capture: string, path: string, kinds: RecordKind[], everyS: number) {
  const bench = await benchOf(path);
  const told = await inProcess((terminal) =>
    replayCommand({ capture, bench, everyS, kinds: new Set(kinds), format: 'ndjson' }, terminal),
  );
  expect(told.code, told.err).toBe(0);
  return told.out.split('\n').map((row) => JSON.parse(row) as Record<string, never>);
}

test('salts and a neighbour give constants that put the box’s humidity and temperature right in a replay', async () => {
  const captures = writeCaptures(seededRandom(4));
  const salts = await lowdew(
    ...['calibrate', 'salts', captures, '--bench', bench(), '--station', 'box'],
    ...['--point', `licl=${between(5, 29)}`, '--point', `nacl=${between(45, 69)}`],
  );
  expect(salts.code, salts.err).toBe(0);
  expect(salts.err).toMatch(/lithium chloride +24\.6 °C: said 9\.5\d, is 11\.3\d %RH: off by −1\.7\d/);
  expect(salts.err).toMatch(/harmful if swallowed.*safety data sheet comes first/);
  expect(Number(/rh_gain = (\S+)/.exec(salts.out)?.[1])).toBeCloseTo(GAIN, 3);
  expect(Number(/rh_offset_percent = (\S+)/.exec(salts.out)?.[1])).toBeCloseTo(OFFSET, 1);
  expect(salts.out).toMatch(/^calibrated = 2026-03-01 {2}# box: 9\.\d\d over licl, 76\.\d\d over nacl\n/);

  const plain = await benchOf(bench());
  const span = parseSpan('last/30min')!;
  const beside = await inProcess((terminal) =>
    calibrateSideBySideCommand({ capture: captures, bench: plain, span, reference: null }, terminal),
  );
  expect(beside.code, beside.err).toBe(0);
  expect(beside.err).toMatch(/The temperatures of box and room differ|box .*21\.60 \(−0\.40 ± 0\.0\d\)/);
  const temperature = /temperature_offset_c = (\S+)/.exec(beside.out)?.[0] as string;
  expect(Number(temperature.split('=')[1])).toBeCloseTo(COLD_BY, 1);

  const calibrated = bench(`${salts.out}${temperature}\n`);
  const records = await replayed(join(folder, 'all.tsv'), calibrated, ['reading', 'air'], 7200);
  const air = records.findLast((one) => one['kind'] === 'air' && one['station'] === 'box')!;
  expect(air['relativeHumidityPercent']).toBeCloseTo(34, 0);
  expect(air['airTemperatureC']).toBeCloseTo(22, 1);
  // The line's own numbers stay beside what they are taken for; the room's are taken as they are.
  const reading = records.findLast(
    (one) => one['kind'] === 'reading' && one['station'] === 'box',
  )! as unknown as {
    values: { t: number; rh: number };
    calibrated: { t: number; rh: number };
  };
  expect(reading.values.rh).toBeCloseTo((34 - OFFSET) / GAIN, 0);
  expect(reading.values.t).toBeCloseTo(21.6, 1);
  expect(reading.calibrated.rh).toBeCloseTo(34, 0);
  expect(
    records.findLast((one) => one['station'] === 'room' && one['kind'] === 'reading'),
  ).not.toHaveProperty('calibrated');
}, 60_000);

test('a scale under two masses gives its zero and span', async () => {
  let rows = '';
  for (let s = 0; s < 6600; s += 10) {
    const massG = s < 3300 ? 0 : 1000;
    const tm = 24 + ((s % 3300) / 3300) * 8;
    const values = { m: -15 + 0.5 * (tm - 28) + 1.02 * massG, tm };
    const line = encodeReading(
      { station: 'box', boot: '3f2a', seq: s / 10, uptimeMs: s * 1000, values, faults: {} },
      2,
    );
    rows += `${formatCaptureRow(START_MS + s * 1000, 'usb', line)}\n`;
  }
  const capture = join(folder, 'scale.tsv');
  writeFileSync(capture, rows);
  const plain = await benchOf(bench());
  const runs = [
    { massG: 0, span: parseSpan(between(0, 55))! },
    { massG: 1000, span: parseSpan(between(55, 110))! },
  ];
  const scale = await inProcess((terminal) =>
    calibrateScaleCommand({ capture, bench: plain, station: 'box', runs }, terminal),
  );
  expect(scale.code, scale.err).toBe(0);
  const key = (name: string) => Number(new RegExp(`${name} = (\\S+)`).exec(scale.out)?.[1]);
  expect(key('scale_span')).toBeCloseTo(1.02, 4);
  expect(key('scale_zero_g_per_c')).toBeCloseTo(0.5, 2);
  expect(key('scale_zero_g')).toBeCloseTo(-15 + 0.5 * (key('scale_reference_c') - 28), 1);
  const last = (await replayed(capture, bench(scale.out), ['reading'], 60)).at(-1) as unknown as {
    calibrated: { m: number };
  };
  expect(last.calibrated.m).toBeCloseTo(1000, 0);
}, 60_000);

test('what cannot be a calibration is refused in words, with nothing to paste', async () => {
  const captures = writeCaptures(seededRandom(4));
  const file = await benchOf(bench());
  const salts = (station: string, from: number, to: number, capture = captures) =>
    inProcess((terminal) => {
      const points = [{ salt: 'nacl', span: parseSpan(between(from, to))! }] as const;
      return calibrateSaltsCommand({ capture, bench: file, station, points }, terminal);
    });
  expect(await salts('box', 25, 45)).toMatchObject({
    code: 1,
    out: '',
    err: expect.stringMatching(/sodium chloride: the humidity still moved/),
  });
  expect(await salts('box', 500, 520)).toMatchObject({
    code: 1,
    out: '',
    err: expect.stringMatching(/said nothing in that time/),
  });
  expect(await salts('bix', 5, 20)).toMatchObject({
    code: 2,
    err: expect.stringMatching(/no station "bix".*box, room/),
  });
  expect(await salts('box', 5, 20, join(folder, 'none'))).toMatchObject({
    code: 3,
    err: expect.stringMatching(/does not exist/),
  });
  const span = parseSpan(between(500, 520))!;
  const beside = await inProcess((terminal) =>
    calibrateSideBySideCommand({ capture: captures, bench: file, span, reference: null }, terminal),
  );
  expect(beside).toMatchObject({ code: 1, err: expect.stringMatching(/Two stations at least/) });

  const options = (point: string) =>
    lowdew('calibrate', 'salts', captures, '--bench', bench(), '--station', 'box', '--point', point);
  expect(await options(`kcl=${between(5, 20)}`)).toMatchObject({
    code: 2,
    err: expect.stringMatching(/licl, mgcl2, nacl/),
  });
  expect(await options('nacl=ten to eleven')).toMatchObject({
    code: 2,
    err: expect.stringMatching(/"ten to eleven" is no time: give FROM\/TO/),
  });
}, 60_000);

test('heat before a check is told, for the sensor is still low from it', async () => {
  let rows = '';
  for (let s = 0; s < 3600; s += 10) {
    const values = s < 600 ? { t: 70, rh: 5 } : { t: 25, rh: 74 };
    const line = encodeReading(
      { station: 'box', boot: '3f2a', seq: s / 10, uptimeMs: s * 1000, values, faults: {} },
      2,
    );
    rows += `${formatCaptureRow(START_MS + s * 1000, 'usb', line)}\n`;
  }
  const capture = join(folder, 'hot.tsv');
  writeFileSync(capture, rows);
  const file = await benchOf(bench());
  const points = [{ salt: 'nacl', span: parseSpan('last/15min')! }] as const;
  const told = await inProcess((terminal) =>
    calibrateSaltsCommand({ capture, bench: file, station: 'box', points }, terminal),
  );
  expect(told.err).toMatch(/Careful: box was above 50 °C 1 h before.*1 to 2 %RH low/);
  expect(told.out).toMatch(/rh_offset_percent = 1\.(29|30)/);
});
