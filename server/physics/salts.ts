/**
 * Relative humidity over saturated salt solutions, the fixed points by which humidity sensors are checked.
 *
 * Source: L. Greenspan, Humidity fixed points of binary saturated aqueous solutions, J. Res. NBS 81A (1977) 89–96:
 * RH = Σ aᵢ tⁱ, t in °C. (Public copies exist in which the linear term of LiCl has the wrong sign: they give 10.89 %RH at
 * 25 °C instead of 11.30.) The uncertainties are the published ones as a maker's table of fixed points repeats them, from
 * 20 to 50 °C, which is also the range offered here; between its temperatures they are interpolated. Over which share of
 * cases they hold could not be read; they are taken for two standard uncertainties (judgement).
 */

export const SALTS = ['licl', 'mgcl2', 'nacl'] as const;
export type Salt = (typeof SALTS)[number];

export interface FixedPoint {
  readonly relativeHumidityPercent: number;
  /** Two standard uncertainties, %RH. */
  readonly uncertaintyPercent: number;
}

export const SALT_LOWEST_C = 15;
export const SALT_HIGHEST_C = 50;
/** Solutions of LiCl that were once colder are changed for good: a maker's instruction. */
export const LICL_LEAST_C = 18;

interface Solution {
  readonly name: string;
  readonly coefficients: readonly number[];
  /** At 20, 25, 30, 40, 50 °C, %RH. */
  readonly uncertainties: readonly number[];
}

const SOLUTIONS: Readonly<Record<Salt, Solution>> = {
  licl: {
    name: 'lithium chloride',
    coefficients: [11.2323, 0.00824245, -2.1489e-4],
    uncertainties: [0.3, 0.3, 0.2, 0.2, 0.2],
  },
  mgcl2: {
    name: 'magnesium chloride',
    coefficients: [33.6686, -0.00797397, -1.08988e-3],
    uncertainties: [0.18, 0.16, 0.14, 0.1, 0.1],
  },
  nacl: {
    name: 'sodium chloride',
    coefficients: [75.5164, 0.0398321, -2.65459e-3, 2.848e-5],
    uncertainties: [0.14, 0.12, 0.11, 0.1, 0.2],
  },
};
const UNCERTAINTY_AT_C = [20, 25, 30, 40, 50];

export const saltName = (salt: Salt): string => SOLUTIONS[salt].name;

/** Null outside 15–50 °C; below 20 °C the uncertainty is that at 20 °C. */
export function fixedPoint(salt: Salt, temperatureC: number): FixedPoint | null {
  if (!(temperatureC >= SALT_LOWEST_C && temperatureC <= SALT_HIGHEST_C)) return null;
  const { coefficients, uncertainties } = SOLUTIONS[salt];
  const relativeHumidityPercent = coefficients.reduceRight((sum, a) => sum * temperatureC + a, 0);
  const above = UNCERTAINTY_AT_C.findIndex((at) => at >= temperatureC);
  const high = uncertainties[above] as number;
  if (above === 0) return { relativeHumidityPercent, uncertaintyPercent: high };
  const [lowC, highC] = [UNCERTAINTY_AT_C[above - 1] as number, UNCERTAINTY_AT_C[above] as number];
  const low = uncertainties[above - 1] as number;
  const share = (temperatureC - lowC) / (highC - lowC);
  return { relativeHumidityPercent, uncertaintyPercent: low + share * (high - low) };
}
