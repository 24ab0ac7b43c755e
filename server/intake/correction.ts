/** From what a sensor says to what it means, by the constants that its calibration left in the bench file. */
import type { CorrectionConfig } from '../config/bench.ts';

/**
 * The values that a correction changes, by key; the others stand as they came. `cellTemperatureC`: the load cell's
 * newest temperature, null where none was ever said; the mass is then corrected as at the reference temperature.
 */
export function correctValues(
  correction: CorrectionConfig,
  values: Readonly<Record<string, number>>,
  cellTemperatureC: number | null,
): Readonly<Record<string, number>> {
  const corrected: Record<string, number> = {};
  const { t, rh, m } = values;
  if (t !== undefined && correction.temperatureOffsetC !== 0)
    corrected['t'] = t + correction.temperatureOffsetC;
  if (rh !== undefined && (correction.rhGain !== 1 || correction.rhOffsetPercent !== 0))
    corrected['rh'] = correction.rhGain * rh + correction.rhOffsetPercent;
  const { scale } = correction;
  if (m !== undefined && scale) {
    const warmerK = cellTemperatureC === null ? 0 : cellTemperatureC - scale.referenceC;
    corrected['m'] = (m - scale.zeroG - scale.zeroGPerK * warmerK) / (scale.span + scale.spanPerK * warmerK);
  }
  return corrected;
}
