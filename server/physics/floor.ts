/**
 * The floor: moisture that the present air can reach and never pass below.
 *
 * Letters: w_eq equilibrium moisture wt %, T polymer temperature, p_in vapour pressure of the air that replaces the
 * box's, ρ_in its vapour density at 23 °C. Heating air dries it only relatively: 23 °C/50 %RH heated to 70 °C is still
 * 4.5 %RH. Warm air is thinner, so it is the vapour pressure that survives heating, not the density.
 */
import { vapourPressureFromDensityPa } from './psychrometrics.ts';
import { saturationPressurePa } from './saturation.ts';
import { type ReducedIsotherm, sorptionTemperatureFactor } from './sorption.ts';

/** Where the box's air comes from. `closed` has no floor: its air only fills with water. */
export type AirSupply = 'room' | 'desiccant' | 'closed';

/** Vapour density that air dried by a desiccant can hardly be below, g/m³ (judgement; dew point about −30 °C). */
export const DRIEST_SUPPLY_G_PER_M3 = 0.2;
const SUPPLY_TEMPERATURE_C = 23;

/** Range of p_in by supply, Pa; null where nothing comes in. */
export function supplyRangePa(
  supply: AirSupply,
  roomVapourPressurePa: number,
): { readonly low: number; readonly high: number } | null {
  if (supply === 'closed') return null;
  if (supply === 'room') return { low: roomVapourPressurePa, high: roomVapourPressurePa };
  const driest = vapourPressureFromDensityPa(SUPPLY_TEMPERATURE_C, DRIEST_SUPPLY_G_PER_M3);
  return { low: Math.min(driest, roomVapourPressurePa), high: roomVapourPressurePa };
}

/** w_eq = F(T)·A·a/(1 − B·a), wt %, a = p_in/p_sat(T) held at 1. NaN where T is outside saturation's range. */
export function floorWtPercent(
  isotherm: ReducedIsotherm,
  netEnthalpyKJPerMol: number,
  temperatureC: number,
  supplyVapourPressurePa: number,
): number {
  const a = Math.min(1, supplyVapourPressurePa / saturationPressurePa(temperatureC));
  const F = sorptionTemperatureFactor(netEnthalpyKJPerMol, temperatureC);
  return (F * isotherm.slopeWtPercent * a) / Math.max(0.05, 1 - isotherm.curvature * a);
}
