import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { expect, test } from 'vitest';
import { humidityRatioKgPerKg, vapourPressurePa } from '../../server/physics/psychrometrics.ts';
import {
  frostPointC,
  saturationPressurePa,
  saturationTemperatureC,
} from '../../server/physics/saturation.ts';

/**
 * The npm package psychrolib (ASHRAE Fundamentals 2017, Hyland–Wexler saturation) as an independent library.
 * Where it differs on purpose, and why we do:
 *  - below 0.01 °C its dew point is a frost point; ours stays over water, and the frost point is another field;
 *  - below 0.01 °C dry bulb its RH is over ice; sensors mean water, so those inputs are left out;
 *  - where p_w ≥ p it answers 1e-7 (a clamp); ours is null;
 *  - RH 0 makes it throw; ours has no vapour.
 */
psychrolib.SetUnitSystem(psychrolib.SI);

const temperature = fc.double({ min: 0.01, max: 120, noNaN: true });
const humidity = fc.double({ min: 0.05, max: 100, noNaN: true });
const pressure = fc.double({ min: 30_000, max: 110_000, noNaN: true });

test('saturation pressure within 3e-4 (Hyland–Wexler is stated to 300 ppm)', () => {
  fc.assert(
    fc.property(temperature, (t) => {
      const theirs = psychrolib.GetSatVapPres(t);
      expect(Math.abs(saturationPressurePa(t) / theirs - 1)).toBeLessThan(3e-4);
    }),
    { numRuns: 2000 },
  );
});

test('dew point within 0.01 K above freezing; frost point within 0.01 K below', () => {
  fc.assert(
    fc.property(temperature, humidity, (t, rh) => {
      const theirs = psychrolib.GetTDewPointFromRelHum(t, rh / 100);
      const vapour = vapourPressurePa(t, rh);
      const dew = saturationTemperatureC(vapour);
      if (theirs >= 0.02) expect(Math.abs((dew as number) - theirs)).toBeLessThan(0.01);
      else if (theirs < 0) {
        expect(Math.abs((frostPointC(vapour) as number) - theirs)).toBeLessThan(0.01);
        // Over water it is always lower than over ice: 0.0 K at 0 °C, 4 K at −40 °C.
        if (!Number.isNaN(dew)) expect(dew).toBeLessThan(theirs + 0.01);
      }
    }),
    { numRuns: 4000 },
  );
});

test('humidity ratio within 1e-3, and null where theirs is the clamp', () => {
  let clamped = 0;
  fc.assert(
    fc.property(temperature, humidity, pressure, (t, rh, p) => {
      const vapour = vapourPressurePa(t, rh);
      const ours = humidityRatioKgPerKg(vapour, p);
      const theirs = psychrolib.GetHumRatioFromRelHum(t, rh / 100, p);
      if (Number.isNaN(ours)) {
        clamped++;
        expect(theirs).toBeLessThan(1.1e-7);
      } else if (vapour < 0.9 * p && ours > 1e-6) {
        // d ln W = d ln p_w · p/(p − p_w): the formulas' 3e-4 grows as the vapour nears the pressure.
        const allowed = (3e-4 * p) / (p - vapour) + 1e-6;
        expect(Math.abs(ours / theirs - 1)).toBeLessThan(allowed);
      }
    }),
    { numRuns: 4000, seed: 41 },
  );
  expect(clamped).toBeGreaterThan(20);
});
