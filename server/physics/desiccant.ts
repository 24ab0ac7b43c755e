/**
 * What silica gel and molecular sieve hold.
 *
 * Letters: q loading kg water per kg desiccant, p vapour pressure Pa, T temperature K; w_s, b0, n, Q of the Toth
 * equation q = w_s·b·p/(1 + (b·p)ⁿ)^(1/n), b = b0·exp(Q/T).
 */
import { kelvin } from '../units.ts';
import { vapourPressurePa } from './psychrometrics.ts';

/** Fuji RD 2560 at 25 °C, adsorption (measured: Thu et al. 2013, SorpPropLib). RH %, kg/kg. */
const GEL_25C: readonly (readonly [number, number])[] = [
  [0, 0],
  [5.6, 0.0549],
  [9.7, 0.0768],
  [19.9, 0.1271],
  [30.0, 0.1857],
  [40.1, 0.2445],
  [49.8, 0.2923],
  [60.3, 0.322],
  [80.7, 0.3475],
];

/** Loading of regular-density silica gel near 25 °C, kg/kg; straight lines between the measured points, held above. */
export function silicaGelAt25C(relativeHumidityPercent: number): number {
  if (!(relativeHumidityPercent >= 0)) return Number.NaN;
  for (let i = 1; i < GEL_25C.length; i++) {
    const [x1, y1] = GEL_25C[i]!;
    const [x0, y0] = GEL_25C[i - 1]!;
    if (relativeHumidityPercent <= x1) return y0 + ((y1 - y0) * (relativeHumidityPercent - x0)) / (x1 - x0);
  }
  return GEL_25C[GEL_25C.length - 1]![1];
}

/**
 * Silica gel hot or cold, kg/kg: Toth with the constants of Chua et al. (2004): w_s 0.45, b0 1.6222e-12 /Pa, n 12,
 * Q 5835.03 K. Within 0.02 to 20 %RH; at 40 %RH and 25 °C it gives 0.29 where 0.245 was measured.
 * At one vapour pressure the loading falls to a sixth from 30 to 60 °C: gel in a hot box gives its water back.
 */
export function silicaGelKgPerKg(temperatureC: number, relativeHumidityPercent: number): number {
  const bp =
    1.6222e-12 *
    Math.exp(5835.03 / kelvin(temperatureC)) *
    vapourPressurePa(temperatureC, relativeHumidityPercent);
  return (0.45 * bp) / (1 + bp ** 12) ** (1 / 12);
}

/** 4A and 3A hold about this share of a 5A sieve (judgement). */
export const SIEVE_SHARE = { '5a': 1, '4a': 0.9, '3a': 0.85 } as const;

/**
 * Molecular sieve 5A, kg/kg, 0–100 °C: Toth with n = 0.3548 − 51.14/T (Wang & LeVan, J. Chem. Eng. Data 54 (2009)
 * 2839): w_s 0.422675, b0 4.714e-13 /Pa, Q 9955 K. Drier air than gel can give, and it keeps its water when warm.
 */
export function sieveKgPerKg(
  temperatureC: number,
  relativeHumidityPercent: number,
  kind: keyof typeof SIEVE_SHARE = '5a',
): number {
  return sieveAt(temperatureC, kind)(vapourPressurePa(temperatureC, relativeHumidityPercent));
}

/** The same at one temperature, against vapour pressure in Pa: for those who ask ten thousand times. */
export function sieveAt(
  temperatureC: number,
  kind: keyof typeof SIEVE_SHARE = '5a',
): (vapourPressurePa: number) => number {
  const T = kelvin(temperatureC);
  const b = 4.714e-13 * Math.exp(9955 / T);
  const n = 0.3548 - 51.14 / T;
  const most = SIEVE_SHARE[kind] * 0.422675;
  return (p) => (most * b * p) / (1 + (b * p) ** n) ** (1 / n);
}

/** A unit of desiccant takes up 3.00 g at 20 %RH and 6.00 g at 40 %RH, 25 °C (MIL-D-3464). */
export const DESICCANT_UNIT_G = { at20PercentRh: 3, at40PercentRh: 6 } as const;
