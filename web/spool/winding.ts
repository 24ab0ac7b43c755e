/** The winding as it is drawn: radii, grams counted from the outside in, turns between the shells, tints. Pure. */
import type { Quantiles, SpoolState } from '../../server/api/messages.ts';

/** A common spool, mm. The drawing alone rests on it. */
const HUB_RADIUS_MM = 47;
const WIDTH_MM = 60;
/** Wound polymer, air between the turns included, g/mm³: 1.13 g/cm³ at a porosity of 0.26. */
const PACKED_G_PER_MM3 = 0.00084;
/** Bounds of the tint classes, as multiples of the limit; a class ends exactly at it. */
export const TINT_BOUNDS = [0.5, 0.75, 1, 1.25, 1.625, 2, 2.5, 4, 6.5] as const;

export interface Winding {
  readonly hubMm: number;
  readonly outerMm: number;
  readonly netG: number;
}

export function windingOf(netG: number): Winding {
  const areaMm2 = netG / (PACKED_G_PER_MM3 * Math.PI * WIDTH_MM);
  return { hubMm: HUB_RADIUS_MM, outerMm: Math.sqrt(HUB_RADIUS_MM ** 2 + areaMm2), netG };
}

/** Grams that lie outside a radius. */
export function outerGrams({ hubMm, outerMm, netG }: Winding, radiusMm: number): number {
  const inside = Math.min(outerMm, Math.max(hubMm, radiusMm));
  return (netG * (outerMm ** 2 - inside ** 2)) / (outerMm ** 2 - hubMm ** 2);
}

/** The radius outside of which so many grams lie. */
export function radiusOfGrams({ hubMm, outerMm, netG }: Winding, outerG: number): number {
  const share = Math.min(1, Math.max(0, outerG / netG));
  return Math.sqrt(outerMm ** 2 - share * (outerMm ** 2 - hubMm ** 2));
}

/**
 * Moisture at a radius. The profile gives shells of equal depth, hub first; between their middles ln w runs straight,
 * beyond the first and last it stays.
 */
export function turnAt(winding: Winding, profile: readonly Quantiles[], radiusMm: number): Quantiles {
  const depth = (radiusMm - winding.hubMm) / (winding.outerMm - winding.hubMm);
  const place = Math.min(profile.length - 1, Math.max(0, depth * profile.length - 0.5));
  const below = profile[Math.floor(place)]!;
  const above = profile[Math.ceil(place)]!;
  const part = place - Math.floor(place);
  const between = (key: keyof Quantiles): number => {
    const [a, b] = [Math.max(1e-4, below[key]), Math.max(1e-4, above[key])];
    return a * (b / a) ** part;
  };
  return { p05: between('p05'), p50: between('p50'), p95: between('p95') };
}

/** 0–2 under the limit, 3–9 over it. */
export const tintOf = (wtPercent: number, limitWtPercent: number): number => {
  const found = TINT_BOUNDS.findIndex((bound) => wtPercent <= bound * limitWtPercent);
  return found < 0 ? TINT_BOUNDS.length : found;
};

export interface ShellRow {
  readonly fromG: number;
  readonly toG: number;
  readonly moisture: Quantiles;
}

/** The shells from the outside in, with the grams they hold. */
export function shellRows(spool: SpoolState): readonly ShellRow[] {
  const profile = spool.drying?.profileWtPercent ?? [];
  const winding = windingOf(spool.netMassG);
  const edge = (index: number): number =>
    outerGrams(
      winding,
      winding.hubMm + ((winding.outerMm - winding.hubMm) * index) / Math.max(1, profile.length),
    );
  return profile.map((moisture, index) => ({ fromG: edge(index + 1), toG: edge(index), moisture })).reverse();
}
