/**
 * The conditions that the forecast assumes, and its steps: what is ahead if nothing is changed.
 *
 * Temperature: the 60th percentile of the last two hours outside lids (a plain mean after a lid made the time too long:
 * its band covered 80 instead of 98 %); while it still climbs, the latest. Room air: the two-hour mean.
 */

import { sorptionTemperatureFactor } from '../../physics/sorption.ts';
import type { Forcing } from './forcing.ts';
import type { Cells } from './history.ts';
import { hasValue } from './history.ts';
import type { Member } from './model.ts';
import { reducedSaturationGPerM3 } from './thermal-table.ts';

export interface Forecast {
  readonly fromS: number;
  readonly airC: number;
  readonly roomGPerM3: number;
  readonly enthalpyKJPerMol: number;
  /** Seconds ahead of the path's points, ascending from 0. */
  readonly pathS: readonly number[];
}

const LOOK_BACK_S = 7200;
/** Climbing: warmer by this than a third of an hour ago. */
const CLIMB_C = 1;
const CLIMB_S = 1200;

/** Steps of the forecast: quarter hours to 3 h, halves to 12 h, 1½ h to 36 h, four hours to seven days. 0: the end. */
export function forecastStepS(step: number): number {
  if (step < 12) return 900;
  if (step < 30) return 1800;
  if (step < 46) return 5400;
  if (step < 79) return 14_400;
  return 0;
}

/** Points of the path: half-hourly to 12 h, then 1½-hourly to 36 h. */
export const PATH_S: readonly number[] = [
  ...Array.from({ length: 25 }, (_, i) => i * 1800),
  ...Array.from({ length: 16 }, (_, i) => 43_200 + (i + 1) * 5400),
];

export function chooseForecast(cells: Cells, forcing: Forcing, enthalpyKJPerMol: number): Forecast {
  const { count } = forcing;
  const now = forcing.endS[count - 1]!;
  const temperatures: { t: number; weight: number }[] = [];
  let room = 0;
  let weight = 0;
  let latest = forcing.airC[count - 1]!;
  let earlier = latest;
  for (let i = count - 1; i >= 0 && now - forcing.endS[i]! < LOOK_BACK_S; i--) {
    room += forcing.roomGPerM3[i]! * forcing.lengthS[i]!;
    weight += forcing.lengthS[i]!;
    if (cells.masked[i] || !hasValue(cells.airC[i]!)) continue;
    temperatures.push({ t: forcing.airC[i]!, weight: forcing.lengthS[i]! });
    if (temperatures.length === 1) latest = forcing.airC[i]!;
    if (now - forcing.endS[i]! <= CLIMB_S) earlier = forcing.airC[i]!;
  }
  const climbing = latest - earlier > CLIMB_C;
  return {
    fromS: now,
    airC: climbing || temperatures.length === 0 ? latest : weightedPercentile(temperatures, 0.6),
    roomGPerM3: room / weight,
    enthalpyKJPerMol,
    pathS: PATH_S,
  };
}

function weightedPercentile(values: { t: number; weight: number }[], p: number): number {
  values.sort((a, b) => a.t - b.t);
  const whole = values.reduce((sum, value) => sum + value.weight, 0);
  let below = 0;
  for (const value of values) {
    below += value.weight;
    if (below >= p * whole) return value.t;
  }
  return values[values.length - 1]!.t;
}

/** Moisture that a member's isotherm has in equilibrium with air of a vapour and temperature, wt %. */
export function floorShare(
  member: Member,
  airC: number,
  enthalpyKJPerMol: number,
  supplyGPerM3: number,
): number {
  const a = Math.min(1, supplyGPerM3 / reducedSaturationGPerM3(airC));
  const F = sorptionTemperatureFactor(enthalpyKJPerMol, airC);
  return (F * member.slopeWtPercent * a) / Math.max(0.05, 1 - member.curvature * a);
}
