/**
 * How much water a polymer holds in equilibrium with air: sorption isotherms.
 *
 * Letters: a activity (vapour pressure over saturation pressure at the polymer's temperature, 0–1), w moisture in
 * wt % of dry polymer, Mm, C, K the three constants of the GAB equation (Mm in wt %), A the slope dw/da at a → 0,
 * B the curvature of the reduced form, F the temperature factor.
 * Source of the GAB form: van den Berg & Bruin, in Water Activity (1981), as restated in ISO/handbook practice (from
 * memory). Henry's law is the case of weak, unbound sorption (PC, ABS, PETG, PET).
 */
import { GAS_CONSTANT_J_PER_MOL_K, kelvin } from '../units.ts';

export type Isotherm =
  | { readonly model: 'gab'; readonly mmWtPercent: number; readonly c: number; readonly k: number }
  | { readonly model: 'henry'; readonly slopeWtPercent: number };

/** Temperature at which the isotherms of the materials table stand. */
export const ISOTHERM_TEMPERATURE_C = 23;

/**
 * Equilibrium moisture at 23 °C, wt %. Outside 0 ≤ a ≤ 1 it answers NaN: there is no vapour phase above saturation.
 *   GAB    w = Mm·C·K·a / [(1 − K·a)(1 − K·a + C·K·a)]
 *   Henry  w = S·a
 */
export function equilibriumWtPercent(isotherm: Isotherm, activity: number): number {
  if (!(activity >= 0 && activity <= 1)) return Number.NaN;
  if (isotherm.model === 'henry') return isotherm.slopeWtPercent * activity;
  const { mmWtPercent: Mm, c: C, k: K } = isotherm;
  const Ka = K * activity;
  return (Mm * C * Ka) / ((1 - Ka) * (1 - Ka + C * Ka));
}

/** The two numbers that matter while drying: slope and curvature at low activity. */
export interface ReducedIsotherm {
  /** A = dw/da at a → 0, wt % per unit activity, 23 °C. */
  readonly slopeWtPercent: number;
  /** B of w = A·a/(1 − B·a), chosen so that the value at a = 0.5 is kept. */
  readonly curvature: number;
}

/**
 * A = Mm·C·K (or Henry's S), B = 2·(1 − 0.5·A/w(0.5)).
 * Keeping the slope at zero rather than a second point high up is what gets the tail of drying right: a parabola
 * through w(0.5) and w(1) gives polyamide 6 a third of its slope below a = 0.1.
 */
export function reduceIsotherm(isotherm: Isotherm): ReducedIsotherm {
  const A =
    isotherm.model === 'henry' ? isotherm.slopeWtPercent : isotherm.mmWtPercent * isotherm.c * isotherm.k;
  return { slopeWtPercent: A, curvature: 2 * (1 - (0.5 * A) / equilibriumWtPercent(isotherm, 0.5)) };
}

/** w = F·A·a/(1 − B·a), wt %. Meant for 0 ≤ a ≤ 1 and B < 1; NaN elsewhere. */
export function reducedEquilibriumWtPercent(
  isotherm: ReducedIsotherm,
  activity: number,
  temperatureFactor = 1,
): number {
  const rest = 1 - isotherm.curvature * activity;
  if (!(activity >= 0 && activity <= 1 && rest > 0)) return Number.NaN;
  return (temperatureFactor * isotherm.slopeWtPercent * activity) / rest;
}

/**
 * F = exp[−(ΔH/R)(1/T − 1/296.15)], ΔH the net sorption enthalpy against liquid water, kJ/mol (van 't Hoff).
 * At one RH moisture hardly changes with temperature: |ΔH| is 0–5 kJ/mol for all families here but PP (+14).
 */
export function sorptionTemperatureFactor(netEnthalpyKJPerMol: number, temperatureC: number): number {
  const inverse = 1 / kelvin(temperatureC) - 1 / kelvin(ISOTHERM_TEMPERATURE_C);
  return Math.exp(((-1000 * netEnthalpyKJPerMol) / GAS_CONSTANT_J_PER_MOL_K) * inverse);
}
