import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../simulators/random.ts';
import {
  airSensor,
  drawAirSensorErrors,
  drawLoadCellErrors,
  faultAt,
  loadCell,
  surfaceProbe,
} from '../../simulators/sensors.ts';

const exact = {
  rhOffsetPercent: 0,
  rhGain: 1,
  temperatureOffsetC: 0,
  lagS: 8,
  rhNoisePercent: 0,
  temperatureNoiseC: 0,
  afterHeatPercent: 0,
};

describe('simulated sensors', () => {
  it('follow a step with their time constant: 63.2 % after one', () => {
    const sensor = airSensor(exact, seededRandom(1));
    sensor.sense(1, 20, 50);
    sensor.sense(8, 70, 10);
    expect(sensor.t).toBeCloseTo(20 + 50 * (1 - Math.exp(-1)), 1);
    expect(sensor.rh).toBeCloseTo(50 - 40 * (1 - Math.exp(-1)), 1);
  });

  it('do not clip: a negative offset shows below zero', () => {
    const sensor = airSensor({ ...exact, rhOffsetPercent: -2.5 }, seededRandom(1));
    sensor.sense(10, 90, 1.3);
    expect(sensor.rh).toBeCloseTo(-1.2, 6);
  });

  it('drift down over hot hours and come back over days', () => {
    const sensor = airSensor({ ...exact, afterHeatPercent: -1 }, seededRandom(1));
    for (let h = 0; h < 24; h++) sensor.sense(3600, 80, 4);
    expect(sensor.rh).toBeLessThan(3.1);
    expect(sensor.rh).toBeGreaterThan(2.99);
    for (let h = 0; h < 72; h++) sensor.sense(3600, 22, 4);
    expect(sensor.rh).toBeGreaterThan(3.7);
  });

  it('spread over a batch as the sheets say', () => {
    const offsets = Array.from(
      { length: 2000 },
      (_, i) => drawAirSensorErrors(seededRandom(i)).rhOffsetPercent,
    );
    const sd = Math.sqrt(offsets.reduce((sum, x) => sum + x * x, 0) / offsets.length);
    expect(sd).toBeCloseTo(1.5, 0);
    expect(offsets.filter((x) => Math.abs(x) > 3).length / 2000).toBeLessThan(0.08);
  });

  it('a scale shows changes, not the whole, and the heat of its cell', () => {
    const errors = drawLoadCellErrors(seededRandom(3), {
      perKG: 0.05,
      warmth: 1,
      creepG: 0.3,
      fanLiftG: 0.5,
    });
    const quiet = { ...errors, noiseG: 0, wanderG: 0 };
    const cell = loadCell(quiet, seededRandom(4));
    cell.sense(10, 1200, 25, false);
    const first = cell.m;
    cell.sense(1e6, 1195, 65, true);
    // −5 g of water, +0.05·40 K, +0.3 g creep, −0.5 g lift.
    expect(cell.m - first).toBeCloseTo(-5 + 2 + 0.3 - 0.5, 1);
    expect(cell.tm).toBeGreaterThan(64.5);
  });

  it('a surface probe speaks in sixteenths of a degree', () => {
    const probe = surfaceProbe(seededRandom(9));
    for (let i = 0; i < 50; i++) {
      probe.sense(10, 40 + i * 0.37);
      expect(Number.isInteger(probe.t * 16)).toBe(true);
    }
  });

  it('a fault holds for its station, key and time only', () => {
    const faults = [{ station: 'box', key: 'rh', fault: 'nack', fromS: 10, toS: 20 }] as const;
    expect(faultAt(faults, 'box', 'rh', 10)).toBe('nack');
    expect(faultAt(faults, 'box', 'rh', 20)).toBeNull();
    expect(faultAt(faults, 'box', 't', 15)).toBeNull();
    expect(faultAt(faults, 'room', 'rh', 15)).toBeNull();
  });
});
