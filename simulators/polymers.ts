/**
 * Nominal polymers of the simulated world. A run draws its own polymer around these (polymer-draw.ts); nothing here
 * is shared with the estimators' table.
 *
 * Sources, none opened again here: equilibria of PA6/PA66 from a moulder's technical pages (3.5 wt % at 60 %RH, 8.3 at
 * 95 %RH) and data sheets; PC 0.32–0.35 % saturated from data sheets; ABS 0.05 wt % per 10 %RH (Materials 2023 16(3)
 * 938); PLA near Henry, 0.6–1.1 % saturated; TPU ester 1.33 % (Schneider 1968); D and Ea as in the literature on each
 * (PC: Long & Sokol 1974; ABS 43.5 kJ/mol measured on MABS), polyamides by inversion of 24 h immersion uptakes.
 * Low-activity slope, enthalpy and concentration law: judgement. Usual spread between sources: D a factor of 1.4 to 3.
 */
export const MATERIALS = ['pa6', 'pa66', 'pa12', 'pc', 'abs', 'petg', 'pla', 'tpu_ester'] as const;
export type MaterialKey = (typeof MATERIALS)[number];

export interface NominalPolymer {
  readonly densityKgPerM3: number;
  readonly specificHeatJPerKgK: number;
  /** Secant slope of the isotherm between 0 and 5 %RH, wt % per unit of activity, 23 °C. */
  readonly lowSlopeWtPercent: number;
  readonly at50WtPercent: number;
  readonly saturatedWtPercent: number;
  /** Range of the clustering exponent: how late the isotherm turns up. */
  readonly clusterExponent: readonly [low: number, high: number];
  /** Net enthalpy of sorption against liquid water. */
  readonly netEnthalpyJPerMol: number;
  readonly diffusivity23M2PerS: number;
  readonly activationJPerMol: number;
  /** D = D_ref·(dry + (1 − …)…): see polymer-draw.ts. Per wt % at 23 and 80 °C; 0 where D is constant. */
  readonly plasticisationPerWtPercent: readonly [at23C: number, at80C: number];
  /** D of the dry polymer over the effective D when drying from 50 %RH. */
  readonly dryDiffusivityRatio: number;
  readonly usualDryingC: number;
  /** How long a simulated run lasts, h. */
  readonly runHours: number;
  /** Limit stated to the user of a simulated run, wt %. */
  readonly limitWtPercent: number;
}

const polyamide = {
  specificHeatJPerKgK: 1700,
  clusterExponent: [2.7, 3.8],
  netEnthalpyJPerMol: -4000,
  dryDiffusivityRatio: 0.75,
} as const;
const nearlyLinear = {
  clusterExponent: [3, 5],
  netEnthalpyJPerMol: 0,
  plasticisationPerWtPercent: [0, 0],
  dryDiffusivityRatio: 1,
} as const;

export const NOMINAL_POLYMERS: Readonly<Record<MaterialKey, NominalPolymer>> = {
  pa6: {
    ...polyamide,
    densityKgPerM3: 1130,
    lowSlopeWtPercent: 4.97,
    at50WtPercent: 2.7,
    saturatedWtPercent: 9.5,
    diffusivity23M2PerS: 2.0e-13,
    activationJPerMol: 58_000,
    plasticisationPerWtPercent: [0.25, 0.1],
    usualDryingC: 80,
    runHours: 40,
    limitWtPercent: 0.2,
  },
  pa66: {
    ...polyamide,
    densityKgPerM3: 1140,
    lowSlopeWtPercent: 4.58,
    at50WtPercent: 2.5,
    saturatedWtPercent: 8.5,
    diffusivity23M2PerS: 1.4e-13,
    activationJPerMol: 58_000,
    plasticisationPerWtPercent: [0.27, 0.1],
    usualDryingC: 80,
    runHours: 40,
    limitWtPercent: 0.2,
  },
  pa12: {
    ...polyamide,
    densityKgPerM3: 1015,
    lowSlopeWtPercent: 1.394,
    at50WtPercent: 0.7,
    saturatedWtPercent: 1.5,
    diffusivity23M2PerS: 3.5e-13,
    activationJPerMol: 50_000,
    plasticisationPerWtPercent: [0.3, 0.12],
    usualDryingC: 80,
    runHours: 24,
    limitWtPercent: 0.1,
  },
  pc: {
    ...nearlyLinear,
    densityKgPerM3: 1200,
    specificHeatJPerKgK: 1250,
    lowSlopeWtPercent: 0.35,
    at50WtPercent: 0.175,
    saturatedWtPercent: 0.35,
    diffusivity23M2PerS: 5.5e-12,
    activationJPerMol: 29_000,
    usualDryingC: 90,
    runHours: 14,
    limitWtPercent: 0.02,
  },
  abs: {
    ...nearlyLinear,
    densityKgPerM3: 1050,
    specificHeatJPerKgK: 1400,
    lowSlopeWtPercent: 0.5,
    at50WtPercent: 0.25,
    saturatedWtPercent: 0.5,
    diffusivity23M2PerS: 2.1e-12,
    activationJPerMol: 43_500,
    usualDryingC: 80,
    runHours: 14,
    limitWtPercent: 0.1,
  },
  petg: {
    ...nearlyLinear,
    densityKgPerM3: 1270,
    specificHeatJPerKgK: 1250,
    lowSlopeWtPercent: 0.5,
    at50WtPercent: 0.25,
    saturatedWtPercent: 0.6,
    diffusivity23M2PerS: 1.0e-12,
    activationJPerMol: 43_000,
    usualDryingC: 65,
    runHours: 28,
    limitWtPercent: 0.04,
  },
  pla: {
    ...nearlyLinear,
    densityKgPerM3: 1240,
    specificHeatJPerKgK: 1300,
    lowSlopeWtPercent: 0.643,
    at50WtPercent: 0.35,
    saturatedWtPercent: 0.8,
    diffusivity23M2PerS: 4.5e-12,
    activationJPerMol: 40_000,
    usualDryingC: 50,
    runHours: 20,
    limitWtPercent: 0.1,
  },
  tpu_ester: {
    ...nearlyLinear,
    densityKgPerM3: 1200,
    specificHeatJPerKgK: 1700,
    lowSlopeWtPercent: 0.868,
    at50WtPercent: 0.5,
    saturatedWtPercent: 1.33,
    diffusivity23M2PerS: 6e-12,
    activationJPerMol: 46_000,
    // Falls with content: water sits in clusters (Schneider 1968).
    plasticisationPerWtPercent: [-0.25, -0.15],
    usualDryingC: 65,
    runHours: 16,
    limitWtPercent: 0.08,
  },
};
