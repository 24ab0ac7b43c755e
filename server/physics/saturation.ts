/**
 * Saturation of water vapour: the one pair of formulas used everywhere.
 *
 * Letters: T temperature K, p pressure; n1…n10, theta (ϑ), beta (β), A…G as in the release.
 * Over liquid water: IAPWS-IF97 region 4 (equations 30 and 31), closed form both ways. Official range
 * 273.15–647.096 K; against IAPWS-95 over 0–120 °C ≤ 0.007 % and ≤ 1.4 mK. Below 0 °C it is extrapolated over
 * supercooled water down to −40 °C (against Murphy & Koop 2005: −0.05 % at −30 °C, +0.24 % at −40 °C).
 * Over ice: IAPWS R14-08(2011) sublimation pressure, 50–273.16 K.
 * Outside its range a function returns NaN: a hot loop must not pay for an object, and NaN cannot pass for a number.
 * Nothing here throws and nothing is clamped.
 */
import { kelvin, ZERO_CELSIUS_K } from '../units.ts';

const N1 = 0.11670521452767e4;
const N2 = -0.72421316703206e6;
const N3 = -0.17073846940092e2;
const N4 = 0.1202082470247e5;
const N5 = -0.32325550322333e7;
const N6 = 0.1491510861353e2;
const N7 = -0.48232657361591e4;
const N8 = 0.40511340542057e6;
const N9 = -0.23855557567849;
const N10 = 0.65017534844798e3;

/** Extrapolation over supercooled water ends here. */
export const SATURATION_LOWEST_C = -40;
/** Critical point of water, K (IAPWS-95). */
export const SATURATION_HIGHEST_C = 647.096 - ZERO_CELSIUS_K;
/** Triple point of water (IAPWS R14-08): below this vapour pressure there is a frost point. */
export const TRIPLE_POINT_PA = 611.657;
const TRIPLE_POINT_K = 273.16;

/**
 * Saturation pressure over liquid water, Pa. Below 0 °C extrapolated over supercooled water.
 * NaN outside −40…373.9 °C.
 */
export function saturationPressurePa(temperatureC: number): number {
  if (!(temperatureC >= SATURATION_LOWEST_C && temperatureC <= SATURATION_HIGHEST_C)) return Number.NaN;
  const T = temperatureC + ZERO_CELSIUS_K;
  // ϑ = T + n9/(T − n10)
  const theta = T + N9 / (T - N10);
  const A = (theta + N1) * theta + N2;
  const B = (N3 * theta + N4) * theta + N5;
  const C = (N6 * theta + N7) * theta + N8;
  // p/MPa = [2C / (−B + √(B² − 4AC))]⁴
  const root = (2 * C) / (-B + Math.sqrt(B * B - 4 * A * C));
  const square = root * root;
  return square * square * 1e6;
}

const LOWEST_PRESSURE_PA = saturationPressurePa(SATURATION_LOWEST_C);
const HIGHEST_PRESSURE_PA = saturationPressurePa(SATURATION_HIGHEST_C - 1e-9);

/**
 * Temperature at which liquid water is in equilibrium with vapour of `vapourPressurePa`: the dew point, °C, over
 * (supercooled) liquid water at all temperatures. NaN below the vapour pressure of −40 °C and above the critical point.
 */
export function saturationTemperatureC(vapourPressurePa: number): number {
  if (!(vapourPressurePa >= LOWEST_PRESSURE_PA && vapourPressurePa <= HIGHEST_PRESSURE_PA)) return Number.NaN;
  // β = (p/MPa)^¼
  const beta = Math.sqrt(Math.sqrt(vapourPressurePa * 1e-6));
  const E = (beta + N3) * beta + N6;
  const F = (N1 * beta + N4) * beta + N7;
  const G = (N2 * beta + N5) * beta + N8;
  const D = (2 * G) / (-F - Math.sqrt(F * F - 4 * E * G));
  // T = [n10 + D − √((n10 + D)² − 4(n9 + n10·D))] / 2
  const sum = N10 + D;
  return 0.5 * (sum - Math.sqrt(sum * sum - 4 * (N9 + N10 * D))) - ZERO_CELSIUS_K;
}

/** ln(p/p_t) over ice (IAPWS R14-08 equation 6), letters as there: θ = T/T_t. */
function lnSublimation(T: number): number {
  const theta = T / TRIPLE_POINT_K;
  // θ⁻¹ Σ aᵢ θ^bᵢ, the powers by way of one logarithm.
  const ln = Math.log(theta);
  return (
    (-21.2144006 * Math.exp(0.00333333333 * ln) +
      27.3203819 * Math.exp(1.20666667 * ln) -
      6.1059813 * Math.exp(1.70333333 * ln)) /
    theta
  );
}

/** Sublimation pressure over ice, Pa (IAPWS R14-08 equation 6). NaN outside −223…0.01 °C. */
export function sublimationPressurePa(temperatureC: number): number {
  const T = kelvin(temperatureC);
  if (!(T >= 50 && T <= TRIPLE_POINT_K)) return Number.NaN;
  return TRIPLE_POINT_PA * Math.exp(lnSublimation(T));
}

/** Frost points below this are not asked of any sensor here. */
const FROST_LOWEST_C = -100;
const FROST_LOWEST_PA = sublimationPressurePa(FROST_LOWEST_C);
/** Latent heat of ice over the gas constant of vapour, K: 2.834 MJ/kg / 461.5 J/(kg·K). */
const ICE_SLOPE_K = 6140.5;

/** Magnus' own pressure at 0 °C is 611.2 Pa. */
const LN_TRIPLE_OVER_MAGNUS = Math.log(TRIPLE_POINT_PA / 611.2);

/**
 * Frost point, °C: temperature at which ice is in equilibrium with the vapour. NaN at or above the triple point's
 * 611.657 Pa, where there is none, and below −100 °C.
 */
export function frostPointC(vapourPressurePa: number): number {
  if (!(vapourPressurePa >= FROST_LOWEST_PA && vapourPressurePa < TRIPLE_POINT_PA)) return Number.NaN;
  // Magnus over ice starts within 0.02 K down to −60 °C and 0.2 K at −100 °C. ln p is nearly straight in 1/T, with the
  // slope of Clausius–Clapeyron, L/R_v, good to 0.5 % (1.5 % at −100 °C): each step in 1/T leaves that of its error.
  const target = Math.log(vapourPressurePa / TRIPLE_POINT_PA);
  const y = target + LN_TRIPLE_OVER_MAGNUS;
  let T = ZERO_CELSIUS_K + (272.62 * y) / (22.46 - y);
  for (let step = 0; step < 2; step++) T = 1 / (1 / T - (target - lnSublimation(T)) / ICE_SLOPE_K);
  return Math.min(0.01, T - ZERO_CELSIUS_K);
}
