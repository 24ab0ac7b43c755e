import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { startProgram } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'lowdew-check-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const data = join(folder, 'data');
const bench = (listen: string): string => {
  const path = join(folder, `bench-${listen.replace(/\W/g, '')}.toml`);
  writeFileSync(
    path,
    `[[source]]\nid="usb"\nport="/dev/not-here"\n[[station]]\nid="box"\nrole="drybox"\n[server]\nlisten="${listen}"\n`,
  );
  return path;
};
const check = async (args: readonly string[]) => {
  const program = startProgram(['check', '--format', 'json', '--data', data, ...args]);
  const code = await program.ended();
  const { findings } = JSON.parse(program.out()) as {
    findings: { about: string; state: string; says: string }[];
  };
  return { code, about: (what: string) => findings.find(({ about }) => about === what) };
};

test('backup copies a history that is being written, whole, and overwrites nothing', async () => {
  const open = await loadDatabaseEngine();
  const history = openHistory({
    open,
    path: join(data, 'history.sqlite'),
    clock: falseClock(Date.UTC(2026, 10, 25)),
  });
  const add = (i: number): void =>
    history.add({
      station: 'box',
      key: 't',
      atMs: Date.UTC(2026, 10, 25) + i * 1000,
      value: i,
      flagged: false,
    });
  for (let i = 0; i < 5000; i++) add(i);
  history.flush();
  const backup = startProgram(['backup', join(folder, 'copy'), '--data', data]);
  for (let i = 5000; i < 6000; i++) add(i);
  history.flush();
  expect(await backup.ended()).toBe(0);
  const copy = openHistory({
    open,
    path: join(folder, 'copy', 'history.sqlite'),
    clock: falseClock(Date.UTC(2026, 10, 25)),
  });
  const answer = copy.read({
    station: 'box',
    keys: ['t'],
    fromMs: 0,
    toMs: Date.UTC(2026, 10, 26),
    buckets: 2000,
  });
  expect(Math.max(...(answer.series['t']?.max ?? []))).toBeGreaterThanOrEqual(4999);
  copy.close();
  history.close();
  const again = startProgram(['backup', join(folder, 'copy'), '--data', data]);
  expect(await again.ended()).toBe(4);
  expect(again.err()).toContain('The backup failed:');
  const nothing = startProgram(['backup', join(folder, 'copy2'), '--data', join(folder, 'empty')]);
  expect(await nothing.ended()).toBe(4);
});

test('check says of each thing whether it is as it should be, and what to do where it is not', async () => {
  const { code, about } = await check(['--bench', bench('127.0.0.1:0')]);
  expect(code).toBe(1);
  expect(about('Node')?.state).toBe('as it should be');
  expect(about('history')).toMatchObject({
    state: 'as it should be',
    says: expect.stringContaining('whole'),
  });
  expect(about('source usb')).toMatchObject({
    state: 'look',
    says: expect.stringContaining('/dev/not-here is not there. Plug the board in.'),
  });
  expect(about('stations')?.says).toContain('No station has the role room');
  expect(about('address')?.says).toContain('this computer alone');
});

test('check tells of a calibration that is more than a year old, and leaves a younger one alone', async () => {
  const calibrated = async (daysAgo: number) => {
    const path = join(folder, `calibrated-${daysAgo}.toml`);
    const on = new Date(Date.now() - daysAgo * 86_400_000).toISOString().slice(0, 10);
    writeFileSync(
      path,
      `[[source]]\nid="usb"\nstdin=true\n[[station]]\nid="box"\nrole="drybox"\ncalibrated=${on}\nrh_offset_percent=1\n`,
    );
    return (await check(['--bench', path])).about('station box');
  };
  expect(await calibrated(400)).toMatchObject({
    state: 'look',
    says: expect.stringMatching(
      /^Its calibration is of \d{4}-\d\d-\d\d, more than a year ago, .*calibrate it again/,
    ),
  });
  expect(await calibrated(300)).toBeUndefined();
});

test('check tells a taken address, a missing bench file and a damaged history', async () => {
  const taken = createServer().listen(0, '127.0.0.1');
  await new Promise((settle) => taken.once('listening', settle));
  const address = taken.address();
  const first = await check([
    '--bench',
    bench(`127.0.0.1:${typeof address === 'object' ? address?.port : 0}`),
  ]);
  taken.close();
  expect(first.about('address')).toMatchObject({ state: 'look', says: expect.stringContaining('is taken') });
  writeFileSync(join(data, 'history.sqlite'), 'no database at all'.repeat(1000));
  const second = await check([]);
  expect(second.about('bench file')).toMatchObject({
    state: 'look',
    says: expect.stringContaining('There is none'),
  });
  expect(second.about('history')?.state).toBe('look');
});
