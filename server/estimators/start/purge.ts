/** What has stood in an undried tube is thrown away before a job. */
import type { DryingSetup } from '../drying/priors.ts';

/** From the box to the nozzle. */
export interface Tube {
  readonly lengthM: number;
  readonly dry: boolean;
  readonly standingMin: number;
}

/** Filament that stood longer than this in an undried tube is purged, min (common practice, no source). */
const TUBE_MINUTES = 20;

/** g of filament in the tube: its length times its cross-section. */
export function purgeOf({ diameterMm, material }: DryingSetup, tube: Tube | null): number {
  if (tube === null || tube.dry || tube.standingMin <= TUBE_MINUTES) return 0;
  const areaM2 = 0.25 * Math.PI * (diameterMm / 1000) ** 2;
  return 1000 * tube.lengthM * areaM2 * material.densityKgPerM3;
}
