/**
 * What goes wrong with a board and its sensors, from the sensors' buses to the page: the reference firmware on the
 * emulated chip, a real virtual port, the built program, Chromium; and again from the capture that the run left.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { loneBoard, type World } from '../flows/emulated-rig.ts';
import { type Program, startProgram } from '../flows/program.ts';
import { LOOKS, launchBrowser, takePicture } from './browser.ts';
import { heading, visit } from './looking.ts';

const U = 2 ** 32;
const WRAP_BEFORE_MS = 20_000;
/** Board time between two looks at the port. */
const SLICE_MS = 1000;

let browser: Browser;
let pty: Pty;
let program: Program;
const folder = mkdtempSync(join(tmpdir(), 'lowdew-faults-'));
const bench = join(folder, 'bench.toml');

/** What is wrong now, laid over a box that warms and a room that rests. */
let wrong: Readonly<Record<string, Record<string, number | 'nack' | 'crc' | 'range' | 'stuck'>>> = {};
const felt = (station: string, atS: number): Record<string, number> =>
  station === 'room'
    ? { t: 21.3 + 0.2 * Math.sin(atS / 50), rh: 48.4 - atS / 300 }
    : { t: 65 + atS / 60, rh: 4.2 - atS / 100, ts: 50 + atS / 30, tm: 27 + atS / 150, m: 1234.5 - atS / 50 };
const world: World = (station, atS) => ({ ...felt(station, atS), ...wrong[station] });
const board = loneBoard(world);

let damaged = 0;
let heard = '';
/** Lets the board live on; `damageNext` flips a bit in its next reading on the way. */
async function live(ms: number, damageNext = false): Promise<void> {
  let damage = damageNext;
  for (let left = ms; left > 0; left -= SLICE_MS) {
    board.receive(heard);
    heard = '';
    let bytes = board.advance(Math.min(SLICE_MS, left));
    const at = bytes.indexOf(' rh=');
    if (damage && at >= 0) {
      bytes = `${bytes.slice(0, at + 4)}${String.fromCharCode(bytes.charCodeAt(at + 4) ^ 1)}${bytes.slice(at + 5)}`;
      damage = false;
      damaged++;
    }
    if (bytes !== '') pty.write(bytes);
    await new Promise((settle) => setImmediate(settle));
  }
}

beforeAll(async () => {
  [browser, pty] = await Promise.all([launchBrowser(), openPty()]);
  pty.onData((bytes) => {
    heard += bytes.toString('latin1');
  });
  writeFileSync(
    bench,
    `[[source]]\nid = "usb"\nport = "${pty.path}"\n[[station]]\nid = "box"\nrole = "drybox"\n[[station]]\nid = "room"\nrole = "room"\ncalibrated = 2026-03-01\nrh_offset_percent = -10\n`,
  );
  program = startProgram([
    'run',
    '--bench',
    bench,
    '--data',
    join(folder, 'data'),
    '--listen',
    '127.0.0.1:0',
  ]);
});
afterAll(async () => {
  await browser?.close();
  program?.child.kill('SIGKILL');
  pty?.unplug();
  rmSync(folder, { recursive: true, force: true });
});

/** A row's cell: what stands for a value in it, and all of its words. */
async function cellOf(page: Page, station: string, n: number): Promise<{ value: string; words: string }> {
  const cell = page.locator(`[data-station=${station}] td`).nth(n);
  return {
    value: (await cell.locator('.v').textContent()) ?? '',
    words: ((await cell.textContent()) ?? '').replaceAll('\u00a0', ' '),
  };
}
const CELLS = { air: 1, humidity: 2, dewPoint: 3, vapour: 4 } as const;
const NO_DIGIT = /^\D*$/;

test('faults of every kind are named on the page and in the replay, and are never numbers', async () => {
  const url = (await program.says(/The page: (http:\S+)/))[1]!;
  await program.says(/is open\./);
  board.runTo('main');
  board.writeUint32('uptime_ms', U - WRAP_BEFORE_MS);
  const { page, complaints } = await visit(browser, LOOKS[0]!, url);
  const says = (station: string, words: string) =>
    page.locator(`[data-station=${station}]`).getByText(words).first().waitFor();
  const expectCell = async (cell: keyof typeof CELLS, words: RegExp): Promise<void> => {
    await expect.poll(async () => (await cellOf(page, 'box', CELLS[cell])).words).toMatch(words);
    expect((await cellOf(page, 'box', CELLS[cell])).value, cell).toMatch(NO_DIGIT);
  };
  const well = async (): Promise<void> => {
    wrong = {};
    await live(6000);
    await expect.poll(async () => (await cellOf(page, 'box', CELLS.humidity)).value).toMatch(/^\d\.\d$/);
  };

  await live(30_000);
  await expect.poll(async () => (await cellOf(page, 'box', CELLS.air)).value).toMatch(/^65\.\d$/);

  // The room's humidity as its calibration has it; what its board says stays in the capture.
  await says('room', 'corrected by the calibration of 2026-03-01');
  expect((await cellOf(page, 'room', CELLS.humidity)).value).toMatch(/^38\.\d$/);

  wrong = { box: { t: 'nack', rh: 'nack', ts: 'range', m: 'range' } };
  await live(5000);
  await expectCell('air', /does not answer/);
  await expectCell('humidity', /does not answer/);
  for (const cell of ['dewPoint', 'vapour'] as const) await expectCell(cell, /no value/);
  await says('box', 'surface: the sensor calls its own value out of range');
  await says('box', 'scale: the sensor calls its own value out of range');
  await well();

  wrong = { box: { rh: 'crc' }, room: { t: 'range' } };
  await live(5000);
  await expectCell('humidity', /arrives damaged/);
  await says('room', 'the sensor calls its own value out of range');
  await takePicture(page, 'faults-of-sensors');
  await well();

  // A sensor whose words stand still, as the board sees after a minute of its own.
  wrong = { box: { t: 'stuck', rh: 'stuck' } };
  await live(66_000);
  await expectCell('air', /repeats one value/);
  await well();

  // Beyond what air can hold: it is said, marked, and not reckoned with.
  wrong = { box: { rh: 112 } };
  await live(4000);
  await says('box', 'outside its range, not used');
  await expectCell('dewPoint', /no value/);
  await well();

  board.hangBus(true);
  await live(5000);
  await expectCell('air', /does not answer/);
  board.hangBus(false);
  await well();

  await live(4000, true);
  expect(damaged).toBe(1);
  await page.locator('.sources').getByText('1 with a wrong checksum').waitFor();

  board.reset('brown-out');
  await live(4000);
  board.reset('brown-out');
  await live(4000);
  board.jumpInto('_exit');
  await live(9000);
  await page
    .locator('.sources')
    .getByText('began again: 2 brown-outs: its supply sags, 1 watchdog reset: its program hung')
    .waitFor();

  pty.unplug();
  await page
    .locator('.sources .trouble')
    .getByText(/was unplugged or its adapter reset|There is no port/)
    .waitFor();
  await page.locator('[data-station=box]').getByText('was 6', { exact: false }).first().waitFor();
  await expectCell('air', /was \d/);
  expect(await heading(page)).toMatch(/^Cannot tell/);
  await takePicture(page, 'faults-unplugged');
  expect(complaints).toEqual([]);

  program.child.kill('SIGTERM');
  expect(await program.ended()).toBe(0);
  await expectReplay();
}, 90_000);

/** Half a digit of rounding, and the sensor's step with its last bit noise; a 1-Wire step; the bridge's noise. */
const NEAR: Readonly<Record<string, number>> = { t: 0.01, rh: 0.01, ts: 1 / 30, tm: 1 / 30, m: 0.1 };

async function expectReplay(): Promise<void> {
  const captures = join(folder, 'data', 'captures');
  const capture = join(folder, 'all.capture');
  writeFileSync(
    capture,
    readdirSync(captures)
      .sort()
      .map((name) => readFileSync(join(captures, name), 'utf8'))
      .join(''),
  );
  const replay = async (...options: string[]): Promise<string> => {
    const program = startProgram(['replay', capture, '--bench', bench, ...options]);
    expect(await program.ended()).toBe(0);
    return program.out();
  };
  const records = (await replay('--kind', 'reading,summary'))
    .trim()
    .split('\n')
    .map((row) => JSON.parse(row) as Record<string, never>);
  expect(records.at(-1)).toMatchObject({
    refused: { crc: damaged },
    // The counter of milliseconds wrapped in it, and a bit was flipped: nothing else was lost.
    boards: [{ board: 'box', lost: damaged }, {}, {}, {}],
    restarts: { usb: { 'brown-out': 2, watchdog: 1 } },
    stations: {
      box: {
        faults: {
          't.nack': expect.any(Number),
          'rh.nack': expect.any(Number),
          'rh.crc': expect.any(Number),
          'ts.range': expect.any(Number),
          'm.range': expect.any(Number),
          't.stuck': expect.any(Number),
          'rh.stuck': expect.any(Number),
        },
        flagged: { rh: expect.any(Number) },
      },
      room: { faults: { 't.range': expect.any(Number) } },
    },
  });
  expect(await replay('--kind', 'summary', '--format', 'text')).toMatch(
    /began again: 2 brown-out, 1 watchdog; faults of box: .*stuck.*; outside their range at box: \d+ rh/,
  );
  // No reading of the first boot, which had every fault of the sensors, is a number that nobody felt.
  let compared = 0;
  const [first] = records;
  for (const record of records as unknown as Reading[]) {
    if (record.kind !== 'reading' || record.boot !== (first as unknown as Reading).boot) continue;
    const elapsedS = ((record.uptimeMs - (U - WRAP_BEFORE_MS)) >>> 0) / 1000;
    for (const [key, value] of Object.entries(record.values)) {
      if (record.flagged?.includes(key)) continue;
      const truth = felt(record.station, elapsedS)[key] as number;
      const before = felt(record.station, elapsedS - 1)[key] as number;
      const after = Math.abs(truth - before);
      // What stands still for less than a minute is still taken for true: at most that minute's drift.
      const drift = key === 't' || key === 'rh' ? stillS(elapsedS) * after : 1.1 * after;
      expect(Math.abs(value - truth), `${record.station} ${key} at ${elapsedS} s`).toBeLessThan(
        NEAR[key]! + drift,
      );
      compared++;
    }
  }
  expect(compared).toBeGreaterThan(300);
}

interface Reading {
  readonly kind: string;
  readonly station: string;
  readonly boot: string;
  readonly uptimeMs: number;
  readonly values: Readonly<Record<string, number>>;
  readonly flagged?: readonly string[];
}

/** When the box's words stood still, s of the board: after the first three spells and their recoveries. */
const STUCK_FROM_S = 30 + 5 + 6 + 5 + 6;
const stillS = (atS: number): number => (atS > STUCK_FROM_S && atS < STUCK_FROM_S + 66 + 3 ? 66 : 0.2);
