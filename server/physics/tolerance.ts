/**
 * What a humidity sensor's tolerance u leaves of a dew point and of a vapour density.
 *
 * A dew point is given as a number only where RH ≥ 4·u: there the downside error stays near 2–5 K. Between u and 4·u
 * it is an interval; at or below u the lower end is lost altogether and only "at or below" is honest. The factor 4 is
 * our judgement from exact propagation: with u = 1.8 %RH the downside error is 5 K at 5.2–7.2 %RH (25–90 °C), 10 K at
 * 3.0–3.8 %RH, and unbounded at RH ≤ u. Temperature's own tolerance is far smaller (≤ 0.2 K in the dew point) as long
 * as both come from one die; it is included, in the direction that widens.
 */
import type { Band, DewPointBand } from '../records.ts';
import { dewPointC, vapourDensityGPerM3, vapourPressurePa } from './psychrometrics.ts';
import { SATURATION_LOWEST_C } from './saturation.ts';

export interface Tolerance {
  readonly rhPercent: number;
  readonly temperatureC: number;
}

/** Typical figure of common sensors at 25 °C (SHT40 data sheet, typical, not a limit). */
export const USUAL_TOLERANCE: Tolerance = { rhPercent: 1.8, temperatureC: 0.2 };

const NUMBER_FROM = 4;

/** The temperature's lower end, not past the end of the formulas: at −40 °C there is no colder to compute with. */
const colder = (airTemperatureC: number, tolerance: Tolerance): number =>
  airTemperatureC < SATURATION_LOWEST_C
    ? airTemperatureC
    : Math.max(SATURATION_LOWEST_C, airTemperatureC - tolerance.temperatureC);

/** Null where even the upper end of the tolerance means no vapour, or lies outside the formulas' range. */
export function dewPointBand(
  airTemperatureC: number,
  relativeHumidityPercent: number,
  tolerance: Tolerance,
): DewPointBand | null {
  const u = tolerance.rhPercent;
  const highC = dewPointC(airTemperatureC + tolerance.temperatureC, relativeHumidityPercent + u);
  if (highC === null) return null;
  if (!(relativeHumidityPercent > u)) return { kind: 'at-most', lowC: null, highC };
  const lowC = dewPointC(colder(airTemperatureC, tolerance), relativeHumidityPercent - u);
  return { kind: relativeHumidityPercent >= NUMBER_FROM * u ? 'number' : 'interval', lowC, highC };
}

/** Always a band: low is 0 where the tolerance reaches down to no vapour. Null outside the formulas' range. */
export function vapourDensityBandGPerM3(
  airTemperatureC: number,
  relativeHumidityPercent: number,
  tolerance: Tolerance,
): Band | null {
  const end = (sign: 1 | -1): number => {
    const temperatureC =
      sign < 0 ? colder(airTemperatureC, tolerance) : airTemperatureC + tolerance.temperatureC;
    const pressure = vapourPressurePa(temperatureC, relativeHumidityPercent + sign * tolerance.rhPercent);
    return Math.max(0, vapourDensityGPerM3(temperatureC, pressure));
  };
  const low = end(-1);
  const high = end(1);
  return Number.isNaN(low) || Number.isNaN(high) ? null : { low, high };
}
