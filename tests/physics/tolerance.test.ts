import { describe, expect, test } from 'vitest';
import { dewPointBand, USUAL_TOLERANCE, vapourDensityBandGPerM3 } from '../../server/physics/tolerance.ts';

/**
 * Exact (not linearised) ranges for ±1.8 %RH computed with IAPWS-95 outside this project; their temperature is taken
 * as exact, so the check sets its tolerance to 0. Each row: °C, %RH, lower and upper end of the dew point.
 */
const RANGES: [number, number, number | null, number, 'number' | 'interval' | 'at-most'][] = [
  [25, 50, 13.87 - 0.6, 13.87 + 0.5, 'number'],
  [50, 15, 16.29 - 2.0, 16.29 + 1.8, 'number'],
  [70, 5, 13.62 - 6.7, 13.62 + 4.8, 'interval'],
  [90, 2, 12.01 - 30.7, 12.01 + 10.1, 'interval'],
  [100, 1, null, 23.2, 'at-most'],
];

describe('dew point under the usual tolerance', () => {
  for (const [t, rh, low, high, kind] of RANGES)
    test(`${t} °C, ${rh} %RH is ${kind}`, () => {
      const band = dewPointBand(t, rh, { rhPercent: 1.8, temperatureC: 0 });
      expect(band?.kind).toBe(kind);
      // The table gives its ends to 0.1 K.
      expect(Math.abs((band?.highC as number) - high)).toBeLessThanOrEqual(0.1);
      if (low === null) expect(band?.lowC).toBeNull();
      else expect(Math.abs((band?.lowC as number) - low)).toBeLessThanOrEqual(0.1);
    });

  test('a number only from four tolerances up, an upper end alone from one tolerance down', () => {
    const kind = (rh: number) => dewPointBand(70, rh, USUAL_TOLERANCE)?.kind;
    expect(kind(7.2)).toBe('number');
    expect(kind(7.19)).toBe('interval');
    expect(kind(1.81)).toBe('interval');
    expect(kind(1.8)).toBe('at-most');
    expect(kind(-1.7)).toBe('at-most');
    expect(dewPointBand(70, -1.8, USUAL_TOLERANCE)).toBeNull();
  });

  test('the temperature tolerance widens both ends', () => {
    const with0 = dewPointBand(70, 8, { rhPercent: 1.8, temperatureC: 0 });
    const with1 = dewPointBand(70, 8, { rhPercent: 1.8, temperatureC: 1 });
    expect(with1?.lowC as number).toBeLessThan(with0?.lowC as number);
    expect(with1?.highC as number).toBeGreaterThan(with0?.highC as number);
  });
});

describe('vapour density', () => {
  // Same source: density and its tolerance for ±1.8 %RH.
  for (const [t, rh, density, u] of [
    [25, 50, 11.52, 0.43],
    [50, 15, 12.42, 1.5],
    [70, 5, 9.85, 3.55],
    [90, 2, 8.37, 7.54],
  ] as const)
    test(`${t} °C, ${rh} %RH: ${density} ± ${u} g/m³`, () => {
      const band = vapourDensityBandGPerM3(t, rh, { rhPercent: 1.8, temperatureC: 0 });
      expect(Math.abs((band?.low as number) - (density - u))).toBeLessThanOrEqual(0.03);
      expect(Math.abs((band?.high as number) - (density + u))).toBeLessThanOrEqual(0.03);
    });
  test('never below nothing', () => {
    expect(vapourDensityBandGPerM3(100, 1, USUAL_TOLERANCE)?.low).toBe(0);
    expect(vapourDensityBandGPerM3(70, -3, USUAL_TOLERANCE)).toEqual({ low: 0, high: 0 });
  });
});
