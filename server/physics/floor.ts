/**
 * The floor: moisture that the present air can reach and never pass below.
 *
 * Letters: w_eq equilibrium moisture wt %, T polymer temperature, ρ_in vapour density of the air that replaces the
 * box's, g/m³. Heating air dries it only relatively: 23 °C/50 %RH heated to 70 °C is still 4.5 %RH.
 */
import { saturationDensityGPerM3 } from './psychrometrics.ts';
import type { ReducedIsotherm } from './sorption.ts';
import { sorptionTemperatureFactor } from './sorption.ts';

/** Where the box's air comes from. `closed` has no floor: its air only fills with water. */
export type AirSupply = 'room' | 'desiccant' | 'closed';

/** Vapour density that air dried by a desiccant can hardly be below, g/m³ (judgement; dew point about −30 °C). */
export const DRIEST_SUPPLY_G_PER_M3 = 0.2;

/** Range of ρ_in by supply, g/m³; null where nothing comes in. */
export function supplyRangeGPerM3(
  supply: AirSupply,
  roomGPerM3: number,
): { readonly low: number; readonly high: number } | null {
  if (supply === 'closed') return null;
  if (supply === 'room') return { low: roomGPerM3, high: roomGPerM3 };
  return { low: Math.min(DRIEST_SUPPLY_G_PER_M3, roomGPerM3), high: roomGPerM3 };
}

/** w_eq = F(T)·A·a/(1 − B·a), a = ρ_in/ρ_sat(T) held at 1. NaN where T is outside saturation's range. */
export function floorWtPercent(
  isotherm: ReducedIsotherm,
  netEnthalpyKJPerMol: number,
  temperatureC: number,
  supplyGPerM3: number,
): number {
  const a = Math.min(1, supplyGPerM3 / saturationDensityGPerM3(temperatureC));
  const F = sorptionTemperatureFactor(netEnthalpyKJPerMol, temperatureC);
  return (F * isotherm.slopeWtPercent * a) / Math.max(0.05, 1 - isotherm.curvature * a);
}
