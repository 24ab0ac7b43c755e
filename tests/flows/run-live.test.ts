import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { encodeHello, encodeReading } from '../../firmware-protocol/encode.ts';
import type { Snapshot } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { openState } from '../../server/storage/state.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { type Program, startProgram } from './program.ts';

/** The whole program on a real pty: what was shown live, what is kept, and what a replay makes of it. */
let folder: string;
let pty: Pty;
const running: Program[] = [];

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'lowdew-live-'));
  pty = await openPty();
});
afterEach(async () => {
  for (const { child } of running.splice(0)) child.kill('SIGKILL');
  pty.unplug();
  rmSync(folder, { recursive: true, force: true });
});

const benchFile = (): string => {
  const path = join(folder, 'bench.toml');
  writeFileSync(
    path,
    `[[source]]\nid = "usb"\nport = "${pty.path}"\n[[station]]\nid = "box"\nrole = "drybox"\n[[station]]\nid = "room"\nrole = "room"\n` +
      '[[spool]]\nid = "gear"\nstation = "box"\nmaterial = "pa6"\nnet_mass_g = 900\nstored = "room"\n',
  );
  return path;
};
const start = async (): Promise<{ program: Program; url: string }> => {
  const program = startProgram([
    'run',
    '--bench',
    benchFile(),
    '--data',
    join(folder, 'data'),
    '--listen',
    '127.0.0.1:0',
  ]);
  running.push(program);
  const url = (await program.says(/The page: (http:\S+)/))[1] as string;
  await program.says(/is open\./);
  return { program, url };
};
const look = async (url: string): Promise<Snapshot> =>
  (await fetch(`${url}/api/bench`)).json() as Promise<Snapshot>;
const when = async (url: string, holds: (snapshot: Snapshot) => boolean): Promise<Snapshot> => {
  const deadline = Date.now() + 20_000;
  for (;;) {
    const snapshot = await look(url);
    if (holds(snapshot)) return snapshot;
    if (Date.now() > deadline) throw new Error(`waited in vain: ${JSON.stringify(snapshot)}`);
  }
};
const line = (seq: number, values: Record<string, number>, station = seq % 2 ? 'room' : 'box'): string =>
  `${encodeReading({ station, boot: '3f2a', seq, uptimeMs: 1000 + seq * 500, values, faults: {} }, 2)}\n`;
const stop = async ({ child, ended }: Program): Promise<number | null> => {
  child.kill('SIGTERM');
  return ended();
};
const captureText = (): string => {
  const captures = join(folder, 'data', 'captures');
  return readdirSync(captures)
    .sort()
    .map((name) => readFileSync(join(captures, name), 'utf8'))
    .join('');
};

test('what is shown live is what a replay of the capture says', async () => {
  const { program, url } = await start();
  pty.write(`${encodeHello({ board: 'shelf', boot: '3f2a', facts: { every: '500' } })}\n`);
  for (let seq = 0; seq < 60; seq++) {
    if (seq === 20) continue;
    pty.write(
      seq === 30 ? 'LD1 box 3f2a 30 1 t=1 *0000\n' : line(seq, { t: 20 + seq / 10, rh: 45 - seq / 20 }),
    );
  }
  const live = await when(url, ({ sources }) => (sources[0]?.boards[0]?.lines ?? 0) >= 58);
  const source = live.sources[0];
  // Two never arrived whole: one was not sent, one was damaged on the way.
  expect(source).toMatchObject({ refused: { crc: 1 }, boards: [{ board: 'shelf', lines: 58, lost: 2 }] });
  const entered = await fetch(`${url}/api/entries`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ kind: 'weigh-in', spool: 'gear', massG: 1110, resolutionG: 1 }),
  });
  expect(await entered.json()).toEqual({ spools: ['gear'] });
  expect(await stop(program)).toBe(0);

  const path = join(folder, 'all.capture');
  writeFileSync(path, captureText());
  const replay = startProgram([
    'replay',
    path,
    '--bench',
    benchFile(),
    '--kind',
    'air,drying,summary',
    '--every',
    '86400',
  ]);
  running.push(replay);
  expect(await replay.ended()).toBe(0);
  const records = replay
    .out()
    .trim()
    .split('\n')
    .map((row) => JSON.parse(row) as Record<string, unknown>);
  expect(records.at(-1)).toMatchObject({
    rows: 61,
    readings: 58,
    refused: { crc: 1 },
    boards: [{ board: 'shelf', lines: 58, lost: 2 }],
  });
  for (const station of live.stations) {
    const record = records.find((r) => r['kind'] === 'air' && r['station'] === station.id);
    // The entry came a moment after the last reading: the same minute, the same numbers.
    const { atMs: _, ...shown } = station.air as NonNullable<typeof station.air>;
    expect(record).toMatchObject(shown);
  }
}, 60_000);

test('killed in the middle and started again, it goes on with spools, weigh-ins and history', async () => {
  const first = await start();
  for (let seq = 0; seq < 40; seq++) pty.write(line(seq, { t: 21, rh: 45 }));
  await when(first.url, ({ sources }) => (sources[0]?.boards[0]?.lines ?? 0) >= 40);
  for (const massG of [1110, 1109]) {
    const answer = await fetch(`${first.url}/api/entries`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ kind: 'weigh-in', spool: 'gear', massG }),
    });
    expect(answer.status).toBe(200);
  }
  first.program.child.kill('SIGKILL');
  await first.program.ended();

  const second = await start();
  await second.program.says(/taken up again/);
  for (let seq = 40; seq < 44; seq++) pty.write(line(seq, { t: 22, rh: 44 }));
  const after = await when(second.url, ({ spools }) => spools[0]?.drying?.state === 'holding');
  expect(after.spools).toMatchObject([{ id: 'gear', netMassG: 900 }]);
  expect(await stop(second.program)).toBe(0);
  const open = await loadDatabaseEngine();
  const state = openState({ open, path: join(folder, 'data', 'state.sqlite'), clock: falseClock(0) });
  // Acknowledged, so on the disk; and the tracker was told of both after the kill.
  expect(state.entries().map(({ value }) => value)).toMatchObject([{ massG: 1110 }, { massG: 1109 }]);
  const tracker = state.all('drying')[0]?.value as { weighIns: { massG: number }[] };
  expect(tracker.weighIns.map(({ massG }) => massG)).toEqual([1110, 1109]);
  state.close();
  const third = await start();
  const entry = await fetch(`${third.url}/api/history?station=box&keys=t&fromMs=0&toMs=${Date.now() + 1000}`);
  const history = (await entry.json()) as { series: Record<string, { mean: number[] }> };
  expect(history.series['t']?.mean.length).toBeGreaterThan(0);
}, 90_000);

test('a second program on one data folder is refused while the first one lives, and not after', async () => {
  const first = await start();
  const second = startProgram([
    'run',
    '--bench',
    benchFile(),
    '--data',
    join(folder, 'data'),
    '--listen',
    '127.0.0.1:0',
  ]);
  running.push(second);
  expect(await second.ended()).toBe(4);
  expect(second.err()).toMatch(/is in use by another lowdew/);
  first.program.child.kill('SIGKILL');
  await first.program.ended();
  const third = await start();
  expect(await stop(third.program)).toBe(0);
}, 60_000);
