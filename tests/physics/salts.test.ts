import { expect, test } from 'vitest';
import { fixedPoint, type Salt } from '../../server/physics/salts.ts';

/**
 * Published values: a maker's table of fixed points after Greenspan 1977 (Vaisala, HMK15 user's guide), with its
 * uncertainties; at 20 to 30 °C with two decimals from a second public table after the same source.
 */
const PUBLISHED: readonly (readonly [temperatureC: number, Record<Salt, readonly [number, number]>])[] = [
  [20, { licl: [11.31, 0.3], mgcl2: [33.07, 0.18], nacl: [75.47, 0.14] }],
  [25, { licl: [11.3, 0.3], mgcl2: [32.78, 0.16], nacl: [75.29, 0.12] }],
  [30, { licl: [11.29, 0.2], mgcl2: [32.44, 0.14], nacl: [75.09, 0.11] }],
  [40, { licl: [11.22, 0.2], mgcl2: [31.6, 0.1], nacl: [74.7, 0.1] }],
  [50, { licl: [11.11, 0.2], mgcl2: [30.5, 0.1], nacl: [74.4, 0.2] }],
];

test.each(PUBLISHED)('the fixed points at %d °C are the published ones', (temperatureC, salts) => {
  for (const [salt, [percent, uncertainty]] of Object.entries(salts)) {
    const point = fixedPoint(salt as Salt, temperatureC);
    // Half a digit of the printed value, or 0.01 where the two tables' second decimals differ by one.
    const places = temperatureC >= 40 && salt !== 'licl' ? 0.06 : 0.011;
    expect(Math.abs((point?.relativeHumidityPercent ?? 0) - percent), salt).toBeLessThan(places);
    expect(point?.uncertaintyPercent).toBe(uncertainty);
  }
});

test('between them the uncertainty is interpolated; outside the range nothing is said', () => {
  expect(fixedPoint('licl', 27.5)?.uncertaintyPercent).toBeCloseTo(0.25, 10);
  expect(fixedPoint('nacl', 15)?.uncertaintyPercent).toBe(0.14);
  // Published by the same source at 15 °C: 75.61 (from memory).
  expect(fixedPoint('nacl', 15)?.relativeHumidityPercent).toBeCloseTo(75.61, 1);
  for (const temperatureC of [14.9, 50.1, Number.NaN]) expect(fixedPoint('nacl', temperatureC)).toBeNull();
});
