import { describe, expect, test } from 'vitest';
import type { LineReading } from '../../firmware-protocol/line.ts';
import type { BenchConfig } from '../../server/config/bench.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine } from '../../server/engine.ts';

const bench = (extra = ''): BenchConfig => {
  const reading = readBench(
    `[[station]]\nid="box"\nrole="drybox"\n[[station]]\nid="room"\nrole="room"\n${extra}`,
    null,
    { materials: [], things: [] },
  );
  if (!reading.ok) throw new Error('bench');
  return reading.bench;
};
const T0 = Date.UTC(2026, 10, 25, 8, 0, 0);
const at = (ms: number) => ({ wallMs: T0 + ms, monotonicMs: ms });
const line = (
  seq: number,
  uptimeMs: number,
  values: Record<string, number>,
  station = 'box',
): LineReading => ({
  kind: 'reading',
  station,
  boot: '3f2a',
  seq,
  uptimeMs,
  values,
  faults: {},
});
const view = (engine: ReturnType<typeof createEngine>, id = 'box') =>
  engine.stationViews().find((station) => station.id === id);

describe('silence', () => {
  test("three intervals of the board's own rhythm, at least ten seconds", () => {
    const engine = createEngine(bench());
    for (let i = 0; i < 5; i++) engine.accept('usb', line(i, i * 6000, { t: 70 }), true, at(i * 6000));
    expect(view(engine)).toMatchObject({ intervalMs: 6000, quiet: false });
    expect(engine.tick(at(24_000 + 18_000)).changed).toEqual([]);
    const outcome = engine.tick(at(24_000 + 18_001));
    expect(outcome).toMatchObject({
      changed: ['box'],
      transitions: [{ kind: 'station-quiet', station: 'box' }],
    });
    expect(engine.tick(at(60_000)).changed).toEqual([]);
    const woken = engine.accept('usb', line(20, 70_000, { t: 70 }), true, at(70_000));
    expect(woken.transitions.map(({ kind }) => kind)).toEqual(['lines-lost', 'station-heard']);
    expect(view(engine)?.quiet).toBe(false);
  });
  test('a stepped wall clock is told and makes nobody quiet', () => {
    const engine = createEngine(bench());
    engine.accept('usb', line(0, 0, { t: 70 }), true, at(0));
    engine.tick(at(1000));
    const stepped = engine.tick({ wallMs: T0 + 3_600_000, monotonicMs: 2000 });
    expect(stepped.transitions.map(({ kind }) => kind)).toEqual(['clock-stepped']);
    expect(stepped.transitions[0]?.detail).toContain('forward by 3598 s');
    expect(view(engine)?.quiet).toBe(false);
  });
});

describe('what a reading becomes', () => {
  test('an implausible value is kept, shown flagged and not used', () => {
    const engine = createEngine(bench());
    const outcome = engine.accept('usb', line(0, 0, { t: 70, rh: 127 }), true, at(0));
    expect(outcome.reading).toMatchObject({ values: { t: 70, rh: 127 }, flagged: ['rh'] });
    expect(outcome.samples).toContainEqual({
      station: 'box',
      key: 'rh',
      atMs: T0,
      value: 127,
      flagged: true,
    });
    expect(view(engine)).toMatchObject({
      flagged: ['rh'],
      air: { relativeHumidityPercent: null },
      counts: { 'flagged.rh': 1 },
    });
  });
  test('a humidity below zero stays as said; density and dew point are null with an upper bound', () => {
    const engine = createEngine(bench());
    engine.accept('usb', line(0, 0, { t: 90, rh: -1.2 }), true, at(0));
    const air = engine.airRecord('box', T0);
    expect(air).toMatchObject({ relativeHumidityPercent: -1.2, dewPointC: null, vapourDensityGPerM3: null });
    expect(air?.dewPointBand).toMatchObject({ kind: 'at-most', lowC: null });
    expect(air?.vapourDensityBandGPerM3?.low).toBe(0);
  });
  test('a fault is named and counted, and gone with the next value', () => {
    const engine = createEngine(bench());
    engine.accept('usb', { ...line(0, 0, { t: 70 }), faults: { rh: 'nack' } }, true, at(0));
    expect(view(engine)).toMatchObject({ faults: { rh: 'nack' }, counts: { 'fault.rh.nack': 1 } });
    engine.accept('usb', line(1, 2000, { t: 70, rh: 5 }), true, at(2000));
    expect(view(engine)).toMatchObject({ faults: {}, counts: { 'fault.rh.nack': 1 } });
  });
  test('extras and unknown keys are kept; unknown ones are counted', () => {
    const engine = createEngine(bench());
    engine.accept('usb', line(0, 0, { t: 70, x_fan: 0.3, co2: 800 }), true, at(0));
    expect(view(engine)).toMatchObject({
      values: { x_fan: 0.3, co2: 800 },
      counts: { 'unknown-key.co2': 1 },
    });
  });
  test('a station the bench does not know is named once', () => {
    const engine = createEngine(bench());
    const kinds = [0, 1].map(
      (i) => engine.accept('usb', line(i, i, { t: 1 }, 'attic'), true, at(i)).transitions.length,
    );
    expect(kinds).toEqual([2, 0]);
    expect(engine.unknownStations()).toEqual(['attic']);
  });
  test('a station slower than a minute keeps its newest air while it is not quiet', () => {
    const engine = createEngine(bench());
    for (let i = 0; i < 3; i++)
      engine.accept('usb', line(i, i * 90_000, { t: 20 + i, rh: 40 }), true, at(i * 90_000));
    expect(engine.airRecord('box', T0 + 260_000)?.airTemperatureC).toBe(22);
    expect(engine.airRecord('box', T0 + 180_000 + 271_000)).toBeNull();
  });
});

test('what one station says never changes a number of another', () => {
  const withRoom = createEngine(bench());
  const alone = createEngine(bench());
  for (let i = 0; i < 100; i++) {
    const reading = line(i, i * 2000, { t: 70 + Math.sin(i), rh: 5 + Math.cos(i) });
    withRoom.accept('usb', reading, true, at(i * 2000));
    alone.accept('usb', reading, true, at(i * 2000));
    withRoom.accept('tcp', line(i, i * 1000, { t: 20, rh: 50 }, 'room'), true, at(i * 2000));
  }
  expect(withRoom.airRecord('box', T0 + 200_000)).toEqual(alone.airRecord('box', T0 + 200_000));
});
