/** What a station makes of sensors that fail, repeat themselves, or speak in two lines; and of boards that begin again. */
import { expect, test } from 'vitest';
import type { LineReading } from '../../firmware-protocol/line.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine, type Engine } from '../../server/engine.ts';

const bench = () => {
  const reading = readBench('[[station]]\nid = "box"\nrole = "drybox"\n', null, {
    materials: [],
    things: [],
  });
  if (!reading.ok) throw new Error('a bad bench');
  return reading.bench;
};
const START_MS = Date.UTC(2026, 2, 1, 10);
const at = (s: number) => ({ wallMs: START_MS + s * 1000, monotonicMs: s * 1000 });
let seq = 0;
const line = (
  s: number,
  values: Record<string, number>,
  faults: LineReading['faults'] = {},
): LineReading => ({
  kind: 'reading',
  station: 'box',
  boot: '3f2a',
  seq: seq++,
  uptimeMs: s * 1000,
  values,
  faults,
});
const tell = (engine: Engine, s: number, values: Record<string, number>, checked = false) =>
  engine.accept('usb', line(s, values), checked, at(s)).reading;
const view = (engine: Engine) => engine.stationViews()[0]!;

test('two rounded numbers that stand still for an hour are a stuck sensor, and a changed digit heals it', () => {
  const engine = createEngine(bench());
  for (let s = 0; s < 3600; s += 30) expect(tell(engine, s, { t: 23.4, rh: 45.2 })?.faults).toEqual({});
  const stuck = tell(engine, 3600, { t: 23.4, rh: 45.2, x_co2: 400 });
  expect(stuck).toMatchObject({ values: { x_co2: 400 }, faults: { t: 'stuck', rh: 'stuck' } });
  expect(stuck?.values).not.toHaveProperty('t');
  expect(view(engine)).toMatchObject({ faults: { t: 'stuck', rh: 'stuck' }, air: null });
  // Five minutes on there is no air to tell of, though its lines still come.
  for (let s = 3630; s < 3900; s += 30) tell(engine, s, { t: 23.4, rh: 45.2 });
  expect(engine.airRecord('box', at(3900).wallMs)).toBeNull();
  expect(tell(engine, 3930, { t: 23.5, rh: 45.2 })).toMatchObject({
    values: { t: 23.5, rh: 45.2 },
    faults: {},
  });
  expect(engine.stationSummaries()['box']?.faults).toEqual({ 't.stuck': 10, 'rh.stuck': 10 });
});

test.each([
  ['whole numbers, which stand still in still air', { t: 23, rh: 45 }, false],
  ['a humidity clipped to nought', { t: 70.1, rh: 0 }, false],
  ['a temperature alone', { t: 23.4 }, false],
  ['a board of ours, which watches its sensors itself', { t: 23.4, rh: 45.2 }, true],
])('no sensor is called stuck for %s', (_, values, checked) => {
  const engine = createEngine(bench());
  for (let s = 0; s < 3 * 3600; s += 30) expect(tell(engine, s, values, checked)?.faults).toEqual({});
});

test('one of the two that moves is enough, and few lines prove nothing', () => {
  const moving = createEngine(bench());
  for (let s = 0; s < 7200; s += 30)
    expect(tell(moving, s, { t: 23.4, rh: 45 + (s % 60) / 600 })?.faults).toEqual({});
  const seldom = createEngine(bench());
  for (let s = 0; s < 5 * 3600; s += 900) expect(tell(seldom, s, { t: 23.4, rh: 45.2 })?.faults).toEqual({});
});

test('while the humidity or the temperature fails, nothing that follows from it is told', () => {
  const engine = createEngine(bench());
  for (let s = 0; s < 20; s += 2) tell(engine, s, { t: 70, rh: 5 }, true);
  const deaf = engine.accept('usb', line(20, { t: 70 }, { rh: 'nack' }), true, at(20));
  expect(deaf.samples.map(({ key }) => key)).toEqual(['t']);
  expect(view(engine).air).toMatchObject({ airTemperatureC: 70, vapourDensityGPerM3: null });
  const flagged = engine.accept('usb', line(22, { t: 70, rh: 112 }), true, at(22));
  expect(flagged.samples).toMatchObject([
    { key: 't', flagged: false },
    { key: 'rh', flagged: true },
  ]);
  expect(flagged.reading?.flagged).toEqual(['rh']);
  engine.accept('usb', line(24, { rh: 5 }, { t: 'crc' }), true, at(24));
  expect(view(engine).air).toBeNull();
  for (let s = 26; s < 120; s += 2) engine.accept('usb', line(s, { rh: 5 }, { t: 'crc' }), true, at(s));
  expect(engine.airRecord('box', at(120).wallMs)).toBeNull();
  expect(engine.stationSummaries()['box']).toMatchObject({ flagged: { rh: 1 }, quiet: 0 });
});

test('temperature and humidity in two lines are one air, if they come together', () => {
  const engine = createEngine(bench());
  tell(engine, 0, { t: 50 });
  tell(engine, 0.1, { rh: 15 });
  expect(view(engine).air).toMatchObject({ airTemperatureC: 50, relativeHumidityPercent: 15 });
  // Steam tables: 83.0 g/m³ at 50 °C, of which 15 %.
  expect(view(engine).air?.vapourDensityGPerM3).toBeCloseTo(0.15 * 83, 0);
  const late = createEngine(bench());
  tell(late, 0, { t: 50 });
  tell(late, 30, { rh: 15 });
  expect(view(late).air).toMatchObject({ relativeHumidityPercent: null });
});

test('a board’s restarts are counted by the cause that its hello gives, once a boot', () => {
  const engine = createEngine(bench());
  const hello = (boot: string, reset: string, board = 'box') =>
    engine.accept('usb', { kind: 'hello', board, boot, facts: { reset } }, true, at(seq++)).transitions;
  expect(hello('aaaa', 'power-on').map(({ kind }) => kind)).toEqual(['board-seen']);
  hello('aaaa', 'power-on');
  expect(hello('bbbb', 'brown-out')).toMatchObject([
    { kind: 'board-seen' },
    { kind: 'board-restarted', troubling: true, detail: expect.stringContaining('brown-out') },
  ]);
  hello('bbbb', 'brown-out');
  hello('cccc', 'brown-out');
  expect(hello('dddd', 'external')[1]).toMatchObject({ troubling: false });
  // Another board on the same line is another board.
  hello('eeee', 'power-on', 'rig');
  expect(engine.restarts()).toEqual({ usb: { 'brown-out': 2, external: 1 } });
});
