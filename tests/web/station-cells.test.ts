process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { StationState } from '../../server/api/messages.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { cellsOf } from '../../web/station-cells.ts';
import { airOf, BOX, CABINET, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';

const format = createFormat(DEFAULT_PREFERENCES);
const cells = (station: StationState) => cellsOf(station, NOW_MS, format);

describe('a station’s row', () => {
  test('a number with its range', () => {
    expect(cells(ROOM)).toMatchObject({
      heard: { value: '4 s', note: '', tone: 'plain' },
      air: { value: '22.4' },
      humidity: { value: '44.1' },
      dewPoint: { value: '9.6', note: '9.0–10.1' },
      vapour: { value: '8.8', note: '8.4–9.1' },
      faults: { value: '0', note: '' },
    });
  });

  test('an interval where the air is too dry for one number', () => {
    expect(cells(BOX).dewPoint).toEqual({ value: '5 to 21', note: 'too dry for one number', tone: 'plain' });
  });

  test('only a bound where the tolerance reaches down to no vapour', () => {
    const air = airOf({
      airTemperatureC: 80,
      relativeHumidityPercent: 0.6,
      dewPointBand: { kind: 'at-most', lowC: null, highC: 7.2 },
      vapourDensityBandGPerM3: { low: 0, high: 6.9 },
    });
    const row = cells({ ...BOX, air });
    expect(row.dewPoint.value).toBe('at or below\u00a07');
    expect(row.vapour.value).toBe('at or below\u00a06.9');
  });

  test('below freezing the frost point stands beside the dew point', () => {
    const air = airOf({
      airTemperatureC: 21,
      relativeHumidityPercent: 12,
      dewPointC: -9.4,
      frostPointC: -8.3,
      dewPointBand: { kind: 'number', lowC: -12.1, highC: -7.2 },
    });
    expect(cells({ ...ROOM, air }).dewPoint).toMatchObject({
      value: '\u22129.4',
      note: '\u221212.1 to \u22127.2, frost point \u22128.3',
    });
  });

  test('a quiet station shows no value for now, only what it was', () => {
    const row = cells({ ...BOX, quiet: true, heardMs: NOW_MS - 371_000 });
    expect(row.heard).toEqual({ value: '6 min 11 s', note: 'at 12:04:31', tone: 'loud' });
    for (const [cell, was] of [
      [row.air, '80.1'],
      [row.humidity, '3.6'],
      [row.dewPoint, '5 to 21'],
      [row.vapour, '10.5'],
    ] as const)
      expect(cell).toEqual({ value: '–', note: `was ${was}`, tone: 'soft' });
  });

  test('a station never heard says so', () => {
    const row = cells({ ...CABINET, quiet: true, heardMs: null, values: {} });
    expect(row.heard).toEqual({ value: 'never', note: 'since the start', tone: 'loud' });
    expect(row.air).toEqual({ value: '–', note: '', tone: 'soft' });
  });

  test('no sensor, a sensor at fault and a value out of range are three different things', () => {
    expect(cells(CABINET).humidity).toMatchObject({ value: '–', note: 'no sensor' });
    expect(cells({ ...ROOM, faults: { rh: 'crc' } }).humidity).toMatchObject({
      value: '–',
      note: 'the sensor’s answer arrives damaged',
    });
    expect(cells({ ...RIG, values: { t: 181.3 }, flagged: ['t'] }).air).toEqual({
      value: '181.3',
      note: 'outside its range, not used',
      tone: 'soft',
    });
  });

  test('faults are counted, and the commonest is named', () => {
    expect(cells(RIG).faults).toMatchObject({ value: '3', note: 'humidity: the sensor does not answer' });
  });

  test('other keys are told in one phrase, extras under their own name', () => {
    const row = cells({ ...BOX, values: { t: 80.1, rh: 3.6, m: 1184.2, ts: 74.3, x_fan: 0.4 } });
    expect(row.also).toBe('scale 1184.20\u00a0g · surface 74.3\u00a0°C · fan 0.4');
  });
});
