/**
 * All that depends on temperature alone, looked up instead of computed: the model asks six times a step, and a
 * refit makes a hundred thousand steps.
 *
 * Columns per 0.25 °C: saturation as reduced vapour density e_s g/m³ (see model.ts), temperature factor of the
 * isotherm, D/a² of dry polymer 1/s, concentration slope 1/wt %, vapour conductivity of the pack m²/s on e.
 */

import { arrheniusFactor, concentrationSlope } from '../../physics/diffusion.ts';
import type { Material } from '../../physics/materials.ts';
import { saturationPressurePa } from '../../physics/saturation.ts';
import { sorptionTemperatureFactor } from '../../physics/sorption.ts';
import { PACK_POROSITY, packDiffusionRatio, vapourDiffusivityM2PerS } from '../../physics/spool-pack.ts';
import { kelvin, WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K } from '../../units.ts';

export const TABLE_LOWEST_C = -40;
export const TABLE_HIGHEST_C = 180;
export const TABLE_STEPS_PER_C = 4;
export const TABLE_COLUMNS = 5;

/** Temperature to which vapour is reduced: e = p/(R_v·296.15 K), g/m³. Pressure in the clothes of a density. */
export const REDUCED_TEMPERATURE_C = 23;
export const REDUCED_PA_PER_G_PER_M3 =
  0.001 * WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K * kelvin(REDUCED_TEMPERATURE_C);

/** e_s(T), g/m³. */
export function reducedSaturationGPerM3(temperatureC: number): number {
  return saturationPressurePa(temperatureC) / REDUCED_PA_PER_G_PER_M3;
}

export function buildThermalTable(material: Material, diameterMm: number): Float64Array {
  const rows = (TABLE_HIGHEST_C - TABLE_LOWEST_C) * TABLE_STEPS_PER_C + 1;
  const table = new Float64Array(rows * TABLE_COLUMNS);
  const radiusM = diameterMm * 0.0005;
  for (let row = 0; row < rows; row++) {
    const temperatureC = TABLE_LOWEST_C + row / TABLE_STEPS_PER_C;
    const at = row * TABLE_COLUMNS;
    table[at] = reducedSaturationGPerM3(temperatureC);
    table[at + 1] = sorptionTemperatureFactor(material.netSorptionEnthalpyKJPerMol, temperatureC);
    table[at + 2] =
      (material.diffusivityM2PerS *
        arrheniusFactor(material.activationEnergyKJPerMol, temperatureC) *
        material.concentrationLaw.dryFraction) /
      (radiusM * radiusM);
    table[at + 3] = concentrationSlope(material.concentrationLaw, temperatureC);
    // D·dρ with ρ = e·296.15/T: warm vapour is thinner at the same pressure.
    table[at + 4] =
      (vapourDiffusivityM2PerS(temperatureC) *
        packDiffusionRatio(PACK_POROSITY) *
        kelvin(REDUCED_TEMPERATURE_C)) /
      kelvin(temperatureC);
  }
  return table;
}
