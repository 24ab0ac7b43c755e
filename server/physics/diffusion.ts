/**
 * Water moving inside a filament: the Fickian cylinder, reduced to a few modes.
 *
 * Letters: D diffusivity m²/s, a filament radius m, x = D·t/a² (dimensionless time), αₙ roots of J0,
 * c moisture wt %, w_f fibre mass fraction, φ fibre volume fraction.
 * Source: J. Crank, The Mathematics of Diffusion, 2nd ed., ch. 5.
 */
import { GAS_CONSTANT_J_PER_MOL_K, kelvin } from '../units.ts';
import { ISOTHERM_TEMPERATURE_C } from './sorption.ts';

/**
 * M_t/M_∞ = 1 − Σ cₙ·exp(−λₙ²·x): the first two terms of Crank's series (cₙ = 4/αₙ², λₙ = αₙ) and one that lumps
 * the rest. λ² = 162 of the lump keeps the area under the rest, Σ_{n>2} cₙ/αₙ² = c₃/λ₃².
 */
export const CYLINDER_MODES: readonly { readonly share: number; readonly rate: number }[] = [
  { share: 0.69166, rate: 5.783186 },
  { share: 0.131271, rate: 30.471262 },
  { share: 0.177069, rate: 162 },
];

/** Uptake (or loss) fraction of a cylinder whose surface is held, by the modes above. Good to 0.01 for x ≥ 0.01. */
export function cylinderModesFraction(x: number): number {
  let rest = 0;
  for (const mode of CYLINDER_MODES) rest += mode.share * Math.exp(-mode.rate * x);
  return 1 - rest;
}

/** D(T)/D(23 °C) = exp[−(Ea/R)(1/T − 1/296.15)] (Arrhenius). */
export function arrheniusFactor(activationEnergyKJPerMol: number, temperatureC: number): number {
  const inverse = 1 / kelvin(temperatureC) - 1 / kelvin(ISOTHERM_TEMPERATURE_C);
  return Math.exp(((-1000 * activationEnergyKJPerMol) / GAS_CONSTANT_J_PER_MOL_K) * inverse);
}

/**
 * D(c) = D_ref·f_dry·exp(k(T)·c): wetting is faster than drying and the last tenth dries slowest. Grade: judgement;
 * with f_dry 0.75 and k 0.25 (23 °C) to 0.10 (80 °C) it meets both the immersion mean and the film mean of nylon
 * within a factor 1.5. Polymers of constant D have f_dry 1 and k 0.
 */
export interface ConcentrationLaw {
  readonly dryFraction: number;
  readonly perWtPercentAt23C: number;
  readonly perWtPercentAt80C: number;
}

/** k(T), 1 per wt %: linear between 23 and 80 °C, held outside. */
export function concentrationSlope(law: ConcentrationLaw, temperatureC: number): number {
  const fraction = Math.min(1, Math.max(0, (temperatureC - 23) / 57));
  return law.perWtPercentAt23C + fraction * (law.perWtPercentAt80C - law.perWtPercentAt23C);
}

/** D at a temperature and moisture, m²/s. */
export function diffusivityM2PerS(
  at23CM2PerS: number,
  activationEnergyKJPerMol: number,
  law: ConcentrationLaw,
  temperatureC: number,
  moistureWtPercent: number,
): number {
  return (
    at23CM2PerS *
    arrheniusFactor(activationEnergyKJPerMol, temperatureC) *
    law.dryFraction *
    Math.exp(concentrationSlope(law, temperatureC) * moistureWtPercent)
  );
}

/** Density of carbon fibre, kg/m³ (data-sheet value, from memory). Glass is 2550: its φ is smaller at the same w_f. */
const FIBRE_DENSITY_KG_PER_M3 = 1800;

/** φ = (w_f/ρ_f)/(w_f/ρ_f + (1 − w_f)/ρ_p). Range 0 ≤ w_f < 1; NaN outside. */
export function fibreVolumeFraction(fibreMassFraction: number, polymerDensityKgPerM3: number): number {
  if (!(fibreMassFraction >= 0 && fibreMassFraction < 1)) return Number.NaN;
  const fibre = fibreMassFraction / FIBRE_DENSITY_KG_PER_M3;
  return fibre / (fibre + (1 - fibreMassFraction) / polymerDensityKgPerM3);
}

/**
 * What impermeable fibres do: they hold no water (moisture ×(1 − w_f)) and lie in its way (radial D/(1 + φ), Rayleigh
 * and Maxwell in two dimensions). Wicking along the fibre can undo the second; hence the wider D of such rows.
 */
export function scaleForFibre(
  fibreMassFraction: number,
  polymerDensityKgPerM3: number,
): { readonly moisture: number; readonly diffusivity: number; readonly densityKgPerM3: number } {
  const phi = fibreVolumeFraction(fibreMassFraction, polymerDensityKgPerM3);
  return {
    moisture: 1 - fibreMassFraction,
    diffusivity: 1 / (1 + phi),
    densityKgPerM3: phi * FIBRE_DENSITY_KG_PER_M3 + (1 - phi) * polymerDensityKgPerM3,
  };
}
