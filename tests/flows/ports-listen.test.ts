/** Other people's sketches on a real port: what the program proposes takes their lines in as it stands. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { Snapshot } from '../../server/api/messages.ts';
import { columnKeys } from '../../server/cli/options.ts';
import { portsListenCommand } from '../../server/cli/ports-listen.ts';
import { readBenchFile } from '../../server/cli/read-bench-file.ts';
import { replayCommand } from '../../server/cli/replay.ts';
import { systemClock } from '../../server/clock.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { seededRandom } from '../../simulators/random.ts';
import { type Program, startProgram } from './program.ts';

let folder: string;
const ptys: Pty[] = [];
const running: Program[] = [];
const talking: NodeJS.Timeout[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lowdew-listen-'));
});
afterEach(() => {
  for (const timer of talking.splice(0)) clearInterval(timer);
  for (const { child } of running.splice(0)) child.kill('SIGKILL');
  for (const pty of ptys.splice(0)) pty.unplug();
  rmSync(folder, { recursive: true, force: true });
});

const start = (args: readonly string[]): Program => {
  const program = startProgram(args);
  running.push(program);
  return program;
};
/** A sketch that prints as long as anyone lives. */
async function sketch(say: (n: number) => string): Promise<Pty> {
  const pty = await openPty();
  ptys.push(pty);
  let n = 0;
  talking.push(setInterval(() => pty.write(say(n++)), 50));
  return pty;
}

/** Temperature, humidity: what the sketch's author would say of line n. */
const truth = (n: number): { t: number; rh: number } => ({ t: 68.5 + (n % 5) / 10, rh: 6.25 - (n % 4) / 4 });

/** Five usual styles of printing a reading. */
const STYLES: Record<string, (t: string, rh: string, n: number) => string> = {
  named: (t, rh) => `T=${t} H=${rh}\r\n`,
  csv: (t, rh, n) => `${n === 0 ? 'millis,temperature,humidity\r\n' : ''}${n * 50},${t},${rh}\r\n`,
  json: (t, rh) => `{"temperature":${t},"humidity":${rh},"ok":true}\r\n`,
  prose: (t, rh) => `Temperature: ${t} °C, Humidity: ${rh} %\r\n`,
  tabs: (t, rh) => `${t}\t${rh}\t1013.2\r\n`,
};
const line = (style: string, n: number): string => {
  const { t, rh } = truth(n);
  // In UTF-8, as a sketch's source has it.
  return Buffer.from(STYLES[style]!(t.toFixed(2), rh.toFixed(2), n), 'utf8').toString('latin1');
};

/** A capture of the style's lines through the replay, with the proposal as its bench file. */
async function expectReplay(style: string): Promise<void> {
  const bench = join(folder, `${style}.toml`);
  const source = /id = "(\w+)"/.exec(readFileSync(bench, 'utf8'))?.[1];
  const rows = Array.from({ length: 20 }, (_, n) => {
    const text = line(style, n + 1).trimEnd();
    const escaped = text.replaceAll('\t', '\\x09').replaceAll('\u00c2\u00b0', '\\xC2\\xB0');
    return `2026-03-01T10:00:${String(n).padStart(2, '0')}.000Z\t${source}\t${escaped}\n`;
  });
  const capture = join(folder, `${style}.capture`);
  writeFileSync(capture, rows.join(''));
  const told: string[] = [];
  const terminal = { out: (text: string) => told.push(text), err: () => {} };
  const file = await readBenchFile(bench, terminal);
  const kinds = new Set(['reading', 'summary'] as const);
  expect(await replayCommand({ capture, bench: file!, everyS: 60, kinds, format: 'ndjson' }, terminal)).toBe(
    0,
  );
  const records = told.map((row) => JSON.parse(row) as Record<string, unknown>);
  expect(records.at(-1), style).toMatchObject({ rows: 20, readings: 20, refused: {} });
  for (const [n, record] of records.slice(0, -1).entries())
    expect(record, style).toMatchObject({ station: style, checked: false, values: truth(n + 1) });
}

test('five styles: the proposal, untouched, makes readings of them live and in a replay', async () => {
  const styles = Object.keys(STYLES);
  await Promise.all(
    styles.map(async (style) => {
      const pty = await sketch((n) => line(style, n));
      const listening = start(['ports', '--listen', pty.path, '--station', style]);
      expect(await listening.ended(), listening.err()).toBe(0);
      expect(listening.out()).toContain('[[pattern]]');
      writeFileSync(join(folder, `${style}.toml`), listening.out());
    }),
  );

  for (const style of styles) await expectReplay(style);
  const program = start([
    'run',
    '--bench',
    join(folder, 'prose.toml'),
    '--data',
    join(folder, 'data'),
    '--listen',
    '127.0.0.1:0',
  ]);
  const url = (await program.says(/The page: (http:\S+)/))[1] as string;
  await expect
    .poll(
      async () => {
        const { stations } = (await (await fetch(`${url}/api/bench`)).json()) as Snapshot;
        return stations.map(({ id, checked, air }) => ({
          id,
          checked,
          heard: air !== null && Math.abs(air.airTemperatureC - 68.7) < 0.3,
        }));
      },
      { timeout: 15_000, interval: 100 },
    )
    .toEqual([{ id: 'prose', checked: false, heard: true }]);
}, 60_000);

test('a guess is put right by naming the columns, also for two stations in one line', async () => {
  const pty = await sketch((n) => `${truth(n).rh.toFixed(1)};${truth(n).t.toFixed(1)};${n};22.5;45.5\n`);
  const listening = start([
    'ports',
    '--listen',
    pty.path,
    '--baud',
    '9600',
    '--columns',
    'rh,t,-,room:t,room:rh',
  ]);
  expect(await listening.ended(), listening.err()).toBe(0);
  expect(listening.out()).toMatch(/baud = 9600/);
  const bench = join(folder, 'two.toml');
  writeFileSync(bench, listening.out());
  const capture = join(folder, 'two.capture');
  writeFileSync(capture, '2026-03-01T10:00:00.000Z\tusb\t5.0;70.1;7;22.5;45.5\n');
  const replay = start(['replay', capture, '--bench', bench, '--kind', 'reading']);
  expect(await replay.ended()).toBe(0);
  const readings = replay
    .out()
    .trim()
    .split('\n')
    .map((row) => JSON.parse(row));
  expect(readings).toMatchObject([
    { station: 'box', values: { rh: 5, t: 70.1 } },
    { station: 'room', values: { t: 22.5, rh: 45.5 } },
  ]);
});

/** The same command without a process of its own, on lines from a file. */
async function listenTo(text: string, columns: string | null = null) {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await portsListenCommand(
    {
      where: { way: 'stdin' },
      baud: null,
      seconds: 1,
      columns: columns === null ? null : columnKeys(columns),
      station: 'box',
      role: 'drybox',
      clock: systemClock(),
      input: Readable.from([Buffer.from(text, 'latin1')]),
    },
    { out: (line) => out.push(line), err: (line) => err.push(line) },
  );
  return { code, out: out.join('\n'), err: err.join('\n') };
}

test('what is wrong with named columns is said, with nothing to paste', async () => {
  const lines = '5.0;70.1;1\n5.1;70.2;2\n5.2;70.3;3\n';
  expect(await listenTo(lines, 'rh,t,-,m')).toMatchObject({
    code: 2,
    out: '',
    err: expect.stringMatching(/names 4 keys, and the lines hold 3 numbers/),
  });
  expect(await listenTo(lines, 't,t')).toMatchObject({
    code: 2,
    out: '',
    err: expect.stringMatching(/gives t to two numbers of one line.*room:t/),
  });
  const ld1 = 'LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5\n';
  const ready = await listenTo(ld1);
  expect(ready).toMatchObject({ code: 0, out: expect.stringContaining('id = "box"') });
  expect(ready.out).not.toContain('pattern');
  expect(await listenTo(ld1, 't')).toMatchObject({
    code: 2,
    err: expect.stringMatching(/leave --columns out/),
  });
  expect(await listenTo('')).toMatchObject({ code: 1, err: expect.stringMatching(/gave nothing/) });
  expect(await listenTo('hello\nworld\n')).toMatchObject({
    code: 1,
    out: '',
    err: expect.stringMatching(/no number/),
  });
  expect(() => columnKeys('temp,rh')).toThrow(/"temp" is no key; give t, rh/);
});

test('silence, noise and endless text have words of their own; start-up noise and a wrong speed are got over', async () => {
  const random = seededRandom(3);
  const noise = () => String.fromCharCode(...Array.from({ length: 60 }, () => 128 + random.below(100)));
  const told = async (say: (n: number) => string, ...options: string[]): Promise<string> => {
    const pty = await sketch(say);
    const heard: string[] = [];
    pty.onData((bytes) => heard.push(bytes.toString('latin1')));
    const program = start(['ports', '--listen', pty.path, ...options]);
    expect(await program.ended()).toBe(1);
    expect(program.out()).toBe('');
    // A board that is listened to is not spoken to.
    expect(heard.join('')).toBe('');
    return program.err();
  };
  const booting = async (): Promise<string> => {
    const pty = await sketch((n) => (n < 3 ? noise() : '\r\nT=23.4 H=45'));
    const program = start(['ports', '--listen', pty.path]);
    expect(await program.ended()).toBe(0);
    return program.out();
  };
  // The port is opened anew for the next speed, which is when this sketch begins to be readable.
  const moving = async (): Promise<string> => {
    let isNextSpeed = false;
    const pty = await sketch(() => (isNextSpeed ? 'T=23.4 H=45\r\n' : noise()));
    const program = start(['ports', '--listen', pty.path]);
    await program.says(/not this speed/);
    isNextSpeed = true;
    expect(await program.ended()).toBe(0);
    return program.out();
  };
  const [silent, noisy, endless, first, second] = await Promise.all([
    told(() => '', '--seconds', '1'),
    told(noise, '--baud', '9600'),
    told(() => 'T=23.4 H=45 '),
    booting(),
    moving(),
  ]);
  expect(silent).toMatch(/is open, but nothing came in 1 s/);
  expect(noisy).toMatch(/no text\. Leave --baud out/);
  expect(endless).toMatch(/no line ends in it/);
  expect(first).toMatch(/baud = 115200/);
  expect(second).toMatch(/baud = 9600/);
}, 60_000);
