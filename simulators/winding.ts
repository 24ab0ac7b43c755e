/**
 * The filament as it is wound: radial shells of uneven density on a hub, cut in two sides of which one may sit nearer
 * the heater. Geometry, heat and vapour conductances of the pack; no state.
 *
 * Letters: eps porosity of a shell, De effective diffusivity of vapour across parallel threads, m²/s.
 *   De = D_air·eps/(2 − eps) (Rayleigh, dilute limit for parallel cylinders; Nilsson & Stenström 1995)
 *   D_air = 2.11e-5·(T/273.15)^1.94 m²/s at 1 atm (Pruppacher & Klett eq. 13-3, from memory)
 */
export interface WindingSpec {
  readonly dryMassG: number;
  readonly polymerDensityKgPerM3: number;
  readonly hubRadiusM: number;
  readonly widthM: number;
  /** Porosity of each shell, hub to outside; its length is the number of shells. */
  readonly porosity: readonly number[];
  /** Share of the turn on each side. */
  readonly sideShare: readonly [number, number];
  /** Further factor on De: threads touch, layers cross. */
  readonly diffusionFactor: number;
  /** Share of the flanges that is open to the box. */
  readonly flangeOpenFraction: number;
  readonly bedConductivityWPerMK: number;
  readonly outerHeatWPerM2K: number;
  readonly flangeHeatWPerM2K: number;
  readonly hubHeatWPerM2K: number;
  /** Vapour transfer at the outer face. */
  readonly outerVapourMPerS: number;
}

export interface Winding {
  readonly shells: number;
  readonly outerRadiusM: number;
  /** Per shell, whole turn. */
  readonly dryMassG: Float64Array;
  readonly centreRadiusM: Float64Array;
  readonly poreVolumeM3: Float64Array;
  /** Times D_air(T): conductance m³/s to the next shell outwards (last: half a shell to the outer face). */
  readonly outwardM: Float64Array;
  /** Times D_air(T): through the flange slots to the box. */
  readonly flangeM: Float64Array;
  readonly outerFilmM3PerS: number;
  /** W/K to the next shell outwards (last: to the box air through film and half a shell). */
  readonly outwardWPerK: Float64Array;
  readonly flangeWPerK: Float64Array;
  readonly hubWPerK: number;
  readonly shellVolumeM3: Float64Array;
}

export const airDiffusivityM2PerS = (temperatureC: number): number =>
  2.11e-5 * ((temperatureC + 273.15) / 273.15) ** 1.94;

export function wind(spec: WindingSpec): Winding {
  const n = spec.porosity.length;
  // Outer radius so that the shells hold the mass: the porosities are given by shell, steps are equal in radius.
  const massG = (stepM: number): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) {
      const inner = spec.hubRadiusM + i * stepM;
      const area = Math.PI * ((inner + stepM) ** 2 - inner ** 2);
      sum += area * spec.widthM * (1 - spec.porosity[i]!) * spec.polymerDensityKgPerM3 * 1000;
    }
    return sum;
  };
  let low = 0;
  let high = 0.2 / n;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (massG(middle) < spec.dryMassG) low = middle;
    else high = middle;
  }
  const stepM = 0.5 * (low + high);

  const array = (): Float64Array => new Float64Array(n);
  const winding = {
    shells: n,
    outerRadiusM: spec.hubRadiusM + n * stepM,
    dryMassG: array(),
    centreRadiusM: array(),
    poreVolumeM3: array(),
    outwardM: array(),
    flangeM: array(),
    outwardWPerK: array(),
    flangeWPerK: array(),
    shellVolumeM3: array(),
    outerFilmM3PerS: 0,
    hubWPerK: 2 * Math.PI * spec.hubRadiusM * spec.widthM * spec.hubHeatWPerM2K,
  };
  const relative = (i: number): number => {
    const eps = spec.porosity[i]!;
    return (spec.diffusionFactor * eps) / (2 - eps);
  };
  for (let i = 0; i < n; i++) {
    const inner = spec.hubRadiusM + i * stepM;
    const outer = inner + stepM;
    const area = Math.PI * (outer ** 2 - inner ** 2);
    const volume = area * spec.widthM;
    winding.centreRadiusM[i] = 0.5 * (inner + outer);
    winding.shellVolumeM3[i] = volume;
    winding.poreVolumeM3[i] = volume * spec.porosity[i]!;
    winding.dryMassG[i] = volume * (1 - spec.porosity[i]!) * spec.polymerDensityKgPerM3 * 1000;
    const face = 2 * Math.PI * outer * spec.widthM;
    const halves = i + 1 < n ? 0.5 / relative(i) + 0.5 / relative(i + 1) : 0.5 / relative(i);
    winding.outwardM[i] = face / (stepM * halves);
    // Both flanges; mean way along the axis to a flange is a quarter of the width.
    winding.flangeM[i] = (2 * area * spec.flangeOpenFraction * relative(i)) / (spec.widthM / 4);
    const bed = spec.bedConductivityWPerMK;
    winding.outwardWPerK[i] =
      i + 1 < n ? (bed * face) / stepM : face / (1 / spec.outerHeatWPerM2K + (0.5 * stepM) / bed);
    winding.flangeWPerK[i] = (2 * area) / (1 / spec.flangeHeatWPerM2K + spec.widthM / 6 / bed);
  }
  winding.outerFilmM3PerS = 2 * Math.PI * winding.outerRadiusM * spec.widthM * spec.outerVapourMPerS;
  return winding;
}
