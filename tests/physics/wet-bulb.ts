import { humidityRatioKgPerKg } from '../../server/physics/psychrometrics.ts';
import { saturationPressurePa } from '../../server/physics/saturation.ts';

/** W from dry and wet bulb, ASHRAE Fundamentals 2017 ch. 1 eq. 33: only for checking against worked examples. */
export function humidityRatioFromWetBulb(dryC: number, wetC: number, pressurePa: number): number {
  const Ws = humidityRatioKgPerKg(saturationPressurePa(wetC), pressurePa) as number;
  return ((2501 - 2.326 * wetC) * Ws - 1.006 * (dryC - wetC)) / (2501 + 1.86 * dryC - 4.186 * wetC);
}
