/**
 * Parts grow as they take up water again.
 *
 * Letters: β linear strain per moisture, % per wt %; ρ_p, ρ_w densities of polymer and water.
 * Values per family stand in the materials table (PA6 0.20–0.30: design guides for nylon; others from memory).
 */

/** β ≤ ρ_p/(3·ρ_w): the bound if the volumes simply add, % per wt %. */
export function expansionBoundPercentPerWtPercent(polymerDensityKgPerM3: number): number {
  return polymerDensityKgPerM3 / 3000;
}

/** ΔL = L·β·Δw/100, mm. Linear up to some wt %; strain across the flow may be a half more (Polymers 2023 15 3387). */
export function swellingMm(
  lengthMm: number,
  expansionPercentPerWtPercent: number,
  gainWtPercent: number,
): number {
  return (lengthMm * expansionPercentPerWtPercent * gainWtPercent) / 100;
}
