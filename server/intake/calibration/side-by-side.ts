/** Sensors that lie in the same air, against one of them. */
import { moistAir } from '../../physics/psychrometrics.ts';
import { STANDARD_PRESSURE_PA } from '../../units.ts';
import type { Settled } from './settled.ts';

export interface Neighbour {
  readonly station: string;
  readonly temperatureC: Settled;
  readonly humidityPercent: Settled | null;
  readonly temperatureToleranceC: number;
  readonly rhTolerancePercent: number;
}

export interface Compared {
  readonly station: string;
  readonly temperatureC: number;
  readonly humidityPercent: number | null;
  readonly vapourDensityGPerM3: number | null;
  /** What to add to come to the reference; null for what either lacks. */
  readonly temperatureOffsetC: number;
  readonly rhOffsetPercent: number | null;
  /** Two standard uncertainties of the differences. */
  readonly temperatureUncertaintyC: number;
  readonly rhUncertaintyPercent: number | null;
  /** Quantities in which the two differ by more than both tolerances together: one of them must be wrong. */
  readonly beyondTolerance: readonly ('t' | 'rh')[];
}

/** The reference comes first, with differences of nought. */
export function compareSideBySide(reference: Neighbour, others: readonly Neighbour[]): readonly Compared[] {
  return [reference, ...others].map((one) => {
    const isReference = one === reference;
    const temperatureOffsetC = reference.temperatureC.mean - one.temperatureC.mean;
    const both = one.humidityPercent && reference.humidityPercent;
    const rhOffsetPercent = both ? both.mean - (one.humidityPercent?.mean as number) : null;
    const beyond = (
      [
        ['t', temperatureOffsetC, one.temperatureToleranceC + reference.temperatureToleranceC],
        ['rh', rhOffsetPercent ?? 0, one.rhTolerancePercent + reference.rhTolerancePercent],
      ] as const
    ).flatMap(([key, offset, allowed]) => (Math.abs(offset) > allowed ? [key] : []));
    const humidity = one.humidityPercent;
    return {
      station: one.station,
      temperatureC: one.temperatureC.mean,
      humidityPercent: humidity?.mean ?? null,
      vapourDensityGPerM3: humidity
        ? (moistAir(one.temperatureC.mean, humidity.mean, STANDARD_PRESSURE_PA)?.vapourDensityGPerM3 ?? null)
        : null,
      temperatureOffsetC,
      rhOffsetPercent,
      temperatureUncertaintyC: isReference
        ? 0
        : 2 * Math.hypot(one.temperatureC.uncertainty, reference.temperatureC.uncertainty),
      rhUncertaintyPercent:
        both && humidity
          ? isReference
            ? 0
            : 2 * Math.hypot(humidity.uncertainty, (reference.humidityPercent as Settled).uncertainty)
          : null,
      beyondTolerance: beyond,
    };
  });
}
