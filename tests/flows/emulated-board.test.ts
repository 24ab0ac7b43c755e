/**
 * The reference firmware, as built, on an emulated microcontroller with emulated sensors, through a real virtual port
 * to the link and the decoder. No compiler is needed: the program is the one that stands in built/.
 */
import { afterEach, expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import type { Fault } from '../../firmware-protocol/line.ts';
import { type EmulatedRig, emulatedRig, loneBoard, type World } from './emulated-rig.ts';

const U = 2 ** 32;
const FAULTS: readonly Fault[] = ['nack', 'crc', 'range', 'stuck'];

const rigs: EmulatedRig[] = [];
const start = async (world: World): Promise<EmulatedRig> => {
  const rig = await emulatedRig(world);
  rigs.push(rig);
  return rig;
};
afterEach(async () => {
  for (const rig of rigs.splice(0)) await rig.end();
});

/** A box that warms up and dries below what its sensor can say without a sign; a quiet room. Slow, as real boxes are. */
const warming: World = (station, atS) =>
  station === 'room'
    ? { t: 21.3 + 0.2 * Math.sin(atS / 50), rh: 48.4 - atS / 100 }
    : { t: 65 + atS / 20, rh: 1.2 - atS / 16, ts: 50 + atS / 10, tm: 27 + atS / 50, m: 1234.5 - atS / 50 };
const steady: World = (station) =>
  station === 'room' ? { t: 21, rh: 50 } : { t: 65, rh: 6, ts: 60.3, tm: 28, m: 1200 };

/**
 * How far what is sent may be from what the sensor felt. Half a digit of rounding and the sensor's own step: 175/65535 °C
 * and 125/65535 or 100/65535 %RH with its last bit noise, 1/16 °C, 50 nV of noise on a 5 kg bridge (0.05 g) averaged.
 */
const NEAR = { t: 0.005 + 0.004, rh: 0.005 + 0.003, ts: 1 / 32, tm: 1 / 32, m: 0.06 } as const;
/** Before the line's uptime: the air sensors are asked 20 ms, the probes 770 ms, the bridge is averaged over 2 s. */
const AGE_S = { t: 0.02, rh: 0.02, ts: 0.77, tm: 0.77, m: 1 } as const;

test('what the sensors feel is what the host reads, to the sensor’s resolution', async () => {
  const rig = await start(warming);
  await rig.advance(40_000);
  expect(rig.refused).toEqual([]);
  expect(rig.of('box').length).toBe(20);
  expect(rig.of('room').length).toBe(20);
  expect(rig.of('box')[0]?.values['rh']).toBeGreaterThan(1);
  expect(rig.of('box').at(-1)?.values['rh']).toBeLessThan(-1);
  // The board's uptime begins when its memory has been cleared and its boot id drawn, some milliseconds after the reset.
  const startS = 0.012;
  let compared = 0;
  for (const { station, uptimeMs, values, faults } of rig.readings) {
    expect(faults).toEqual({});
    for (const [key, value] of Object.entries(values)) {
      const known = key as keyof typeof NEAR;
      const atS = uptimeMs / 1000 + startS - AGE_S[known];
      const felt = warming(station, atS)[key] as number;
      // What it changed by in 50 ms more or less.
      const drift = Math.abs((warming(station, atS + 0.05)[key] as number) - felt);
      expect(Math.abs(value - felt), `${station} ${key} at ${uptimeMs} ms`).toBeLessThan(NEAR[known] + drift);
      compared += 1;
    }
  }
  expect(compared).toBe(20 * 5 + 20 * 2);
});

test('the hello names board, interval, cause and sensors; the host sets the interval', async () => {
  const rig = await start(steady);
  await rig.advance(5000);
  expect(rig.hellos[0]).toMatchObject({ board: 'box', facts: { every: '2000', reset: 'power-on' } });
  await rig.tell('=500');
  await rig.tell('?');
  await rig.advance(10_000);
  expect(rig.hellos.at(-1)?.facts).toEqual({
    fw: '1.0.0',
    every: '500',
    reset: 'power-on',
    'part.rh': 'sht4x',
    'part.room.rh': 'sht3x',
    'part.ts': 'ds18b20',
    'part.m': 'hx711',
  });
  const times = rig.of('box').map(({ uptimeMs }) => uptimeMs);
  const steps = times.slice(-10).map((at, i, all) => at - (all[i - 1] ?? at - 500));
  for (const step of steps) expect(Math.abs(step - 500)).toBeLessThanOrEqual(2);
  // A probe takes 750 ms: between two conversions it is silent rather than repeated.
  const withProbe = rig
    .of('box')
    .slice(-10)
    .filter(({ values }) => 'ts' in values);
  expect(withProbe.length).toBeGreaterThanOrEqual(4);
  expect(withProbe.length).toBeLessThanOrEqual(6);
  await rig.tell('=99');
  await rig.tell('=60000');
  await rig.advance(1000);
  expect(rig.hellos.slice(-2).map(({ facts }) => facts['every'])).toEqual(['500', '60000']);
});

test('both counters wrap without a reset: 20 s before the end of the milliseconds', async () => {
  const rig = await start(steady);
  rig.board.runTo('main');
  rig.board.writeUint32('uptime_ms', U - 20_000);
  rig.board.writeUint32('seq', U - 7);
  await rig.advance(40_000);
  const verdicts = rig.readings.map(({ verdict }) => verdict);
  expect(verdicts).toEqual(['first', ...Array(verdicts.length - 1).fill('next')]);
  const uptimes = rig.of('box').map(({ uptimeMs }) => uptimeMs);
  expect(uptimes[0]).toBeGreaterThan(U - 20_000);
  expect(uptimes.at(-1)).toBeLessThan(20_000);
  for (const [i, uptimeMs] of uptimes.slice(1).entries())
    expect(Math.abs(((uptimeMs - (uptimes[i] as number)) >>> 0) - 2000)).toBeLessThanOrEqual(2);
  expect(uptimes).toHaveLength(20);
  expect(new Set(rig.readings.map(({ boot }) => boot)).size).toBe(1);
  expect(rig.readings.at(-1)?.seq).toBe(40 - 7 - 1);
});

test('every reset has its cause and a boot id of its own, and cuts at most a line', async () => {
  const rig = await start(steady);
  await rig.advance(3200);
  rig.board.reset('brown-out');
  await rig.advance(3200);
  rig.board.reset('external');
  await rig.advance(3200);
  // A program that runs astray stops seeing to the watchdog.
  rig.board.jumpInto('_exit');
  await rig.advance(8000);
  rig.board.reset('power-on');
  await rig.advance(3200);
  const starts = rig.hellos.filter(({ boot }, i) => boot !== rig.hellos[i - 1]?.boot);
  expect(starts.map(({ facts }) => facts['reset'])).toEqual([
    'power-on',
    'brown-out',
    'external',
    'watchdog',
    'power-on',
  ]);
  expect(new Set(starts.map(({ boot }) => boot)).size).toBe(5);
  expect(rig.refused).toEqual([]);
  for (const { boot } of starts) {
    const own = rig.readings.filter((reading) => reading.boot === boot);
    expect(own[0]).toMatchObject({ seq: 0, verdict: 'first' });
    expect(own.slice(1).every(({ verdict }) => verdict === 'next')).toBe(true);
  }
});

test('a brown-out in the middle of a line leaves a stump that is refused', () => {
  const board = loneBoard(steady);
  let sent = board.advance(1000);
  while (!/LD1 box [^\n]+$/.test(sent)) sent += board.advance(1);
  board.reset('brown-out');
  sent += board.advance(2000);
  const lines = sent.split('\n').filter((line) => line !== '');
  const decoded = lines.map((line) => decodeLine(line));
  expect(decoded.map((one) => one.ok)).toEqual([true, false, true, true]);
  // The stump runs into the next start's hello, and takes it along: which is why the host asks after each opening.
  expect(lines[1]).toMatch(/^LD1 box .*LD1H box .* reset=brown-out /);
});

test('a sensor pulled off is missed, also after a reset, and is found again, whatever its family', async () => {
  let pulled = false;
  const board = loneBoard((station, atS) =>
    pulled && station === 'room' ? { t: 'nack', rh: 'nack' } : steady(station, atS),
  );
  const lastRoom = (text: string) =>
    text
      .split('\n')
      .filter((line) => line.startsWith('LD1 room '))
      .at(-1);
  expect(lastRoom(board.advance(5000))).toMatch(/ t=21\.0\d rh=(49\.99|50\.0\d) \*/);
  pulled = true;
  expect(lastRoom(board.advance(4000))).toContain(' t=!nack rh=!nack *');
  board.reset('power-on');
  expect(lastRoom(board.advance(2000))).toContain(' t=!nack rh=!nack *');
  pulled = false;
  expect(lastRoom(board.advance(4000))).toMatch(/ t=21\.0\d rh=(49\.99|50\.0\d) \*/);
  // For good: the board is told to forget it.
  pulled = true;
  board.holdForgetPin(true);
  board.reset('external');
  board.advance(500);
  board.holdForgetPin(false);
  board.reset('external');
  expect(lastRoom(board.advance(8000))).toBeUndefined();
});

test('a room sensor that never was there is not spoken of; a box sensor is missed from the start', async () => {
  const board = loneBoard(() => ({}));
  const lines = board
    .advance(8000)
    .split('\n')
    .filter((line) => line.startsWith('LD1 '));
  expect(lines).toHaveLength(4);
  for (const line of lines) expect(line).toMatch(/^LD1 box [0-9a-f]{4} \d+ \d+ t=!nack rh=!nack \*/);
});

/** A sensor each; a bridge ADC has no checksum of its own. */
const SENSORS = [
  ['box', 't'],
  ['room', 'rh'],
  ['box', 'ts'],
  ['box', 'm'],
] as const;

test('each sensor’s fault is told by its name, and never as a number', async () => {
  let wrong: Fault | null = null;
  const can = (key: string, fault: Fault): boolean => !(key === 'm' && fault === 'crc');
  const rig = await start((station, atS) => {
    const felt = steady(station, atS);
    for (const [where, key] of SENSORS)
      if (wrong !== null && where === station && can(key, wrong)) felt[key] = wrong;
    return felt;
  });
  await rig.advance(3500);
  for (const fault of FAULTS) {
    wrong = fault;
    // A word that stands still counts after a minute; the rest is told once the rounds under way are over.
    await rig.advance(fault === 'stuck' ? 66_000 : 5000);
    for (const [station, key] of SENSORS)
      if (can(key, fault)) expect(rig.of(station).at(-1)?.faults[key], `${station} ${key}`).toBe(fault);
    wrong = null;
    await rig.advance(6000);
    for (const station of ['box', 'room'])
      expect(rig.of(station).at(-1)?.faults, `${station} after ${fault}`).toEqual({});
  }
  for (const { station, values } of rig.readings)
    for (const [key, value] of Object.entries(values)) {
      const felt = steady(station, 0)[key] as number;
      expect(Math.abs(value - felt), `${station} ${key}=${value}`).toBeLessThan(0.2);
    }
});

test('85 °C of a probe’s power-on is not passed off as a reading', () => {
  const board = loneBoard(steady);
  board.advance(4500);
  // Its conversion begins 770 ms before the line at 5 s; its supply fails in the middle of that.
  board.interruptProbe('ts');
  const line = board
    .advance(1500)
    .split('\n')
    .find((one) => one.startsWith('LD1 box '));
  expect(line).toContain(' ts=!range ');
  expect(line).not.toContain('85');
  expect(board.advance(2000)).toContain(' ts=60.3125 ');
});

test('a bus that hangs holds nobody up', () => {
  const board = loneBoard(steady);
  board.advance(4000);
  board.hangBus(true);
  const hung = board.advance(4000);
  expect(hung).toMatch(/LD1 box .* t=!nack rh=!nack ts=60\.3125 tm=28\.0000 m=1200\.\d\d \*/);
  expect(hung).not.toContain('LD1H');
  board.hangBus(false);
  expect(board.advance(5000)).toMatch(/LD1 box .* t=65\.0\d rh=6\.0\d ts=/);
});

test('each family is found at either address, and says what it feels', () => {
  const board = loneBoard(steady, { families: { box: 'sht3x', room: 'sht4x' } });
  const sent = board.advance(2000);
  expect(sent).toMatch(/LD1 box .* t=65\.0\d rh=6\.0\d ts=/);
  board.receive('?\n');
  expect(board.advance(100)).toMatch(/ part\.rh=sht3x part\.room\.rh=sht4x /);
});

test('the longest hello of the reference board fits a line', () => {
  const board = loneBoard(steady);
  board.advance(4000);
  board.reset('brown-out');
  board.advance(100);
  board.receive('=60000\n');
  const hello = board.advance(100).split('\n')[0] as string;
  expect(hello).toMatch(
    / every=60000 reset=brown-out part\.rh=sht4x part\.room\.rh=sht3x part\.ts=\w+ part\.m=hx711 /,
  );
  expect(hello.length).toBeGreaterThan(110);
  expect(decodeLine(hello).ok).toBe(true);
});

test('a host that shouts disturbs no measurement', () => {
  const board = loneBoard(steady);
  let sent = board.advance(500);
  board.receive('=200\n');
  for (let i = 0; i < 25; i++) {
    // As many bytes as the line carries in the time.
    board.receive(i % 5 === 0 ? '?\n' : 'shouting on and on, faster than anything is read '.repeat(11));
    sent += board.advance(50);
  }
  const readings = sent.split('\n').filter((line) => line.startsWith('LD1 box '));
  expect(readings.length).toBeGreaterThan(4);
  for (const line of readings) {
    expect(line).toMatch(/ t=65\.0\d rh=6\.0\d( ts=60\.3125 tm=28\.0000)?( m=(1199|1200)\.\d\d)? \*/);
    expect(decodeLine(line).ok).toBe(true);
  }
});

test('waiting that is stepped over is left out cycle for cycle', () => {
  const storyMs = 1130;
  const quick = loneBoard(steady);
  const patient = loneBoard(steady, { stepsOverWaiting: false });
  const bytes = quick.advance(storyMs);
  expect(bytes).toContain('LD1 room ');
  expect(patient.advance(storyMs)).toBe(bytes);
  expect(quick.elapsedMs).toBe(patient.elapsedMs);
  // Registers and data memory; among the ports the timer's copy of its count is as old as the last look.
  const kept = (memory: Uint8Array): string =>
    Buffer.concat([memory.slice(0, 0x20), memory.slice(0x100)]).toString('hex');
  expect(kept(quick.memory)).toBe(kept(patient.memory));
});
