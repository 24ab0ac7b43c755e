/**
 * The winding as a whole: vapour must diffuse through the gaps between the turns, heat through the pack.
 *
 * Letters: ε porosity (gap volume over pack volume), φ = 1 − ε, D_air, De diffusivity of vapour in free air and across
 * the pack m²/s, K water held per volume of polymer over water per volume of its equilibrium air, R1/R2 hub and outer
 * radius, W width between the flanges.
 */
import {
  GAS_CONSTANT_J_PER_MOL_K,
  kelvin,
  STANDARD_PRESSURE_PA,
  WATER_MOLAR_MASS_KG_PER_MOL,
} from '../units.ts';
import { saturationPressurePa } from './saturation.ts';

/**
 * D_air = 2.11e-5·(T/273.15)^1.94·(101 325/p), m²/s (Pruppacher & Klett, Microphysics of Clouds and Precipitation,
 * eq. 13-3; measured −40…40 °C, and within 2.5 % of Marrero & Mason 1972, 1.87e-10·T^2.072, to 80 °C). ±3 %.
 */
export function vapourDiffusivityM2PerS(temperatureC: number, pressurePa = STANDARD_PRESSURE_PA): number {
  return 2.11e-5 * (kelvin(temperatureC) / 273.15) ** 1.94 * (STANDARD_PRESSURE_PA / pressurePa);
}

/** Marrero & Mason, J. Phys. Chem. Ref. Data 1 (1972) 3: 1.87e-10·T^2.072 at 1 atm, 282–450 K. The cross-check. */
export function vapourDiffusivityMarreroMasonM2PerS(temperatureC: number): number {
  return 1.87e-10 * kelvin(temperatureC) ** 2.072;
}

/** De/D_air = (1 − φ)/(1 + φ) = ε/(2 − ε) across parallel cylinders (Rayleigh 1892). Range 0 < ε < 1; NaN outside. */
export function packDiffusionRatio(porosity: number): number {
  return porosity > 0 && porosity < 1 ? porosity / (2 - porosity) : Number.NaN;
}

/** Porosity of a machine-wound spool (judgement, 0.15–0.35; square packing 0.215, hexagonal 0.093). */
export const PACK_POROSITY = 0.26;

/** Hub radius and width of a common 1 kg spool, m (judgement; the pack's own uncertainty covers other makes). */
export const SPOOL_HUB_RADIUS_M = 0.047;
export const SPOOL_WIDTH_M = 0.06;

/** R2 from the filament's mass: m = ρ·(1 − ε)·π(R2² − R1²)·W. */
export function spoolOuterRadiusM(netMassKg: number, polymerDensityKgPerM3: number): number {
  const area = netMassKg / (polymerDensityKgPerM3 * (1 - PACK_POROSITY) * Math.PI * SPOOL_WIDTH_M);
  return Math.sqrt(SPOOL_HUB_RADIUS_M * SPOOL_HUB_RADIUS_M + area);
}

/** K = ρ_p·(dM/da)/c_sat(T), c_sat = p_sat·M_w/(R·T): dimensionless; dM/da in wt % per unit activity. */
export function retardation(
  polymerDensityKgPerM3: number,
  slopeWtPercent: number,
  temperatureC: number,
): number {
  const saturated =
    (saturationPressurePa(temperatureC) * WATER_MOLAR_MASS_KG_PER_MOL) /
    (GAS_CONSTANT_J_PER_MOL_K * kelvin(temperatureC));
  return (polymerDensityKgPerM3 * slopeWtPercent * 0.01) / saturated;
}

/** D_app = De/[ε + (1 − ε)·K]: how fast a moisture front moves through the pack, m²/s. */
export function packDiffusivityM2PerS(temperatureC: number, porosity: number, K: number): number {
  return (
    (vapourDiffusivityM2PerS(temperatureC) * packDiffusionRatio(porosity)) / (porosity + (1 - porosity) * K)
  );
}

/**
 * Heat through the winding, all judgement: bulk conductivity 0.11 W/(m·K) (polymer 0.2 in air gaps), 12 W/(m²·K) at the
 * outer turns (natural convection plus radiation, or a small fan), and the sides and the hub help: through a flange
 * 5 W/(m²·K) on the face, inside the hub 3. A 1 kg spool lags 1–2 h behind the box: leave the lag out and the
 * diffusivity absorbs it and the tail comes out wrong; leave the sides out and the lag is twice too long.
 */
export const PACK_CONDUCTIVITY_W_PER_M_K = 0.11;
export const PACK_FILM_W_PER_M2_K = 12;
export const PACK_FLANGE_W_PER_M2_K = 5;
export const PACK_HUB_W_PER_M2_K = 3;

/**
 * From a flange's air to the mean of a pack of width W, W/(m²·K): film and the slab inside in series,
 * 1/U = 1/h + (4/π²)·(W/2)/k.
 */
export function flangeHeatTransferWPerM2K(widthM: number): number {
  return (
    1 /
    (1 / PACK_FLANGE_W_PER_M2_K + ((4 / (Math.PI * Math.PI)) * (0.5 * widthM)) / PACK_CONDUCTIVITY_W_PER_M_K)
  );
}
