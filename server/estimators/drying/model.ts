/**
 * The reduced model of a spool in a box: one step in time, fully implicit, stable at ten minutes.
 *
 * Six shells of equal radial depth. In each: pack temperature T; moisture as three modes u of the filament cylinder
 * (wt %, each what the whole filament would hold if all were at that mode's level); vapour e in the gaps, quasi-steady
 * (gaps hold a thousandth of the water). The box's air is the seventh unknown of the same tridiagonal system.
 *
 * Letters: e vapour as pressure reduced to 23 °C, e = p/(R_v·296.15 K), g/m³: pressure, because it survives heating
 * where density does not; a = e/e_s(T) activity; w = F·A·a/(1 − B·a) isotherm; g share of the way to equilibrium that a
 * mode goes in a step; G conductances m³/s; S source of a shell, S = S0 − S1·e; Q vent flow m³/s; V air volume m³.
 */
import { CYLINDER_MODES } from '../../physics/diffusion.ts';
import {
  flangeHeatTransferWPerM2K,
  PACK_HUB_W_PER_M2_K,
  PACK_POROSITY,
  SPOOL_HUB_RADIUS_M,
  SPOOL_WIDTH_M,
  spoolOuterRadiusM,
} from '../../physics/spool-pack.ts';
import { stepHeat } from './pack-heat.ts';
import { createPaperStep, innerPaperG, type PaperStep, relatePaper } from './paper-reel.ts';
import { TABLE_COLUMNS, TABLE_LOWEST_C, TABLE_STEPS_PER_C } from './thermal-table.ts';

/** Five and eight shells gave the same figures; six is what the start ratio and the profile need. */
export const SHELLS = 6;
const MODES = 3;
const [C1, C2, C3] = CYLINDER_MODES.map((mode) => mode.share) as [number, number, number];
const [L1, L2, L3] = CYLINDER_MODES.map((mode) => mode.rate) as [number, number, number];

/** Film of the pack's outer face for vapour, m/s (judgement: natural convection; its own lognormal in the priors). */
const PACK_VAPOUR_FILM_M_PER_S = 0.006;
/** While a lid is open the box's air is exchanged once in this time, s (judgement). */
const LID_EXCHANGE_S = 20;
/** Heat that evaporation takes, J/g at 60–90 °C (steam tables: 2360–2280), and a few per cent more for the binding. */
const LATENT_J_PER_G = 2400;
const MOST_COOLING_C = 20; // of a step: a long one of a very wet spool would leave the table before conduction answers

/** One member: what a draw of the unknowns makes of spool and box. */
export interface Member {
  /** Factor on the table's D. */
  diffusivityScale: number;
  /** A and B of the isotherm at 23 °C. */
  slopeWtPercent: number;
  curvature: number;
  ventM3PerS: number;
  volumeM3: number;
  packScale: number;
  filmScale: number;
  heatScale: number;
  dryMassG: number;
  /** Paper in the reel, g; 0 for plastic. */
  paperG: number;
  /** At 70 °C. */
  paperLagS: number;
}

/** The state of one member. Arrays are reused: a run of the model allocates nothing. */
export interface ModelState {
  readonly temperatureC: Float64Array;
  /** Mode levels, shell by shell. */
  readonly modes: Float64Array;
  readonly activity: Float64Array;
  /** Mean over the filament's cross-section, wt %. */
  readonly moisture: Float64Array;
  boxGPerM3: number;
  /** Water in the outer and in the inner plies of a cardboard reel. */
  paperOuterG: number;
  paperInnerG: number;
}

export function createModelState(): ModelState {
  return {
    temperatureC: new Float64Array(SHELLS),
    modes: new Float64Array(SHELLS * MODES),
    activity: new Float64Array(SHELLS),
    moisture: new Float64Array(SHELLS),
    boxGPerM3: 0,
    paperOuterG: 0,
    paperInnerG: 0,
  };
}

/** What a member's geometry makes constant over a run, and scratch for the solver. */
export interface Kernel {
  readonly table: Float64Array;
  readonly densityKgPerM3: number;
  readonly specificHeatJPerKgK: number;
  readonly shellShare: Float64Array;
  readonly faceM2PerM: Float64Array;
  readonly shellHeatJPerK: Float64Array;
  /** From the box's air through flanges and hub straight into a shell, W/K. */
  readonly sideWPerK: Float64Array;
  readonly upper: Float64Array;
  readonly rhs: Float64Array;
  readonly gain: Float64Array;
  readonly intercept: Float64Array;
  readonly slope: Float64Array;
  readonly perSaturations: Float64Array;
  readonly paper: PaperStep;
  depthM: number;
  outerAreaM2: number;
}

export function createKernel(
  table: Float64Array,
  densityKgPerM3: number,
  specificHeatJPerKgK: number,
): Kernel {
  return {
    table,
    densityKgPerM3,
    specificHeatJPerKgK,
    shellShare: new Float64Array(SHELLS),
    faceM2PerM: new Float64Array(SHELLS + 1),
    shellHeatJPerK: new Float64Array(SHELLS),
    sideWPerK: new Float64Array(SHELLS),
    upper: new Float64Array(SHELLS + 1),
    rhs: new Float64Array(SHELLS + 1),
    gain: new Float64Array(SHELLS * MODES),
    intercept: new Float64Array(SHELLS),
    slope: new Float64Array(SHELLS),
    perSaturations: new Float64Array(SHELLS),
    paper: createPaperStep(),
    depthM: 0,
    outerAreaM2: 0,
  };
}

const FLANGE_W_PER_M2_K = flangeHeatTransferWPerM2K(SPOOL_WIDTH_M);

/** Geometry of a member's spool into the kernel: shares of mass, faces between shells. */
export function shapeKernel(kernel: Kernel, member: Member): void {
  const outer = spoolOuterRadiusM(member.dryMassG * 0.001, kernel.densityKgPerM3);
  const depth = (outer - SPOOL_HUB_RADIUS_M) / SHELLS;
  const whole = outer * outer - SPOOL_HUB_RADIUS_M * SPOOL_HUB_RADIUS_M;
  const heat = kernel.densityKgPerM3 * (1 - PACK_POROSITY) * kernel.specificHeatJPerKgK;
  for (let i = 0; i < SHELLS; i++) {
    const inside = SPOOL_HUB_RADIUS_M + i * depth;
    const ring = (inside + depth) * (inside + depth) - inside * inside;
    kernel.shellShare[i] = ring / whole;
    kernel.faceM2PerM[i] = 2 * Math.PI * SPOOL_WIDTH_M * inside;
    kernel.shellHeatJPerK[i] = heat * Math.PI * ring * SPOOL_WIDTH_M;
    kernel.sideWPerK[i] =
      2 * Math.PI * ring * FLANGE_W_PER_M2_K +
      (i === 0 ? 2 * Math.PI * SPOOL_HUB_RADIUS_M * SPOOL_WIDTH_M * PACK_HUB_W_PER_M2_K : 0);
  }
  kernel.faceM2PerM[SHELLS] = 2 * Math.PI * SPOOL_WIDTH_M * outer;
  kernel.depthM = depth;
  kernel.outerAreaM2 = 2 * Math.PI * SPOOL_WIDTH_M * outer;
}

/** e^x by its own series: 1 − 1/it is the share of the way to equilibrium, monotone, 0…1, no branch. */
const growth = (x: number): number => 1 + x * (1 + x * (0.5 + x * (1 / 6 + x * (1 / 24))));

/** Mean over the shells by mass, wt %. */
export function meanMoisture(kernel: Kernel, state: ModelState): number {
  let sum = 0;
  for (let i = 0; i < SHELLS; i++) sum += kernel.shellShare[i]! * state.moisture[i]!;
  return sum;
}

/**
 * Advances a member by `dtS` in air at `boxC` with supply air of `supplyGPerM3` (reduced). `lidS` seconds of it the
 * lid stood open. Water leaves and enters only through the vent: what the spool, the reel and the air hold closes with
 * it to rounding, at any step.
 */
export function stepModel(
  kernel: Kernel,
  member: Member,
  state: ModelState,
  dtS: number,
  boxC: number,
  supplyGPerM3: number,
  lidS: number,
): void {
  stepHeat(kernel, member.heatScale, state.temperatureC, dtS, boxC);
  const {
    table,
    upper,
    rhs,
    gain,
    intercept,
    slope,
    perSaturations,
    shellShare,
    faceM2PerM,
    shellHeatJPerK,
    paper,
  } = kernel;
  const { modes, activity, moisture, temperatureC } = state;
  const A = member.slopeWtPercent;
  const B = member.curvature;
  const gramsPerPercent = member.dryMassG * 0.01;
  // The same for every shell: its water and its heat both go with its ring.
  const coolingCPerPercent = (LATENT_J_PER_G * gramsPerPercent * shellShare[0]!) / shellHeatJPerK[0]!;
  const perS = 1 / dtS;
  const perDepth = 1 / kernel.depthM;

  let conductivityBefore = 0;
  let leftG = 0;
  let openRhs = 0;
  for (let i = 0; i < SHELLS; i++) {
    const place = (temperatureC[i]! - TABLE_LOWEST_C) * TABLE_STEPS_PER_C;
    const row = place | 0;
    const part = place - row;
    const at = row * TABLE_COLUMNS;
    const saturation = table[at]! + part * (table[at + 5]! - table[at]!);
    const FA = A * (table[at + 1]! + part * (table[at + 6]! - table[at + 1]!));
    let D = member.diffusivityScale * (table[at + 2]! + part * (table[at + 7]! - table[at + 2]!));
    const perPercent = table[at + 3]!;
    if (perPercent > 0) D *= Math.exp(perPercent * moisture[i]!);
    const conductivity = member.packScale * table[at + 4]!;

    // Modes: u ← u + g·(w_s − u), g from D·λ²·dt/a².
    const x = D * dtS;
    const m = i * MODES;
    const q1 = growth(x * L1);
    const q2 = growth(x * L2);
    const q3 = growth(x * L3);
    const q23 = q2 * q3;
    const perAll = 1 / (q1 * q23);
    const g1 = 1 - q23 * perAll;
    const g2 = 1 - q1 * q3 * perAll;
    const g3 = 1 - q1 * q2 * perAll;
    gain[m] = g1;
    gain[m + 1] = g2;
    gain[m + 2] = g3;
    const reach = C1 * g1 + C2 * g2 + C3 * g3;
    const held = C1 * g1 * modes[m]! + C2 * g2 * modes[m + 1]! + C3 * g3 * modes[m + 2]!;

    // Isotherm about the last activity: tangent where it bends up, chord where it bends down (both keep e ≥ 0).
    const a = Math.min(activity[i]!, 1);
    const left = Math.max(0.05, 1 - B * a);
    const perSaturationLeft = 1 / (saturation * left);
    const rest = saturation * perSaturationLeft;
    const perSaturation = left * perSaturationLeft;
    const perActivity = B > 0 ? FA * rest * rest : FA * rest;
    const w0 = B > 0 ? -FA * B * a * a * rest * rest : 0;
    intercept[i] = w0;
    perSaturations[i] = perSaturation;
    slope[i] = perActivity * perSaturation;

    // S = grams/s that the shell gives to its gaps.
    const grams = gramsPerPercent * shellShare[i]! * perS;
    const S0 = grams * (held - reach * w0);
    const S1 = grams * reach * slope[i]!;
    const G =
      i === 0
        ? 0
        : faceM2PerM[i]! *
          perDepth *
          ((2 * conductivity * conductivityBefore) / (conductivity + conductivityBefore));
    // Thomas, forward: the row above is closed now that its outer face is known.
    if (i > 0) {
      const perDiagonal = 1 / (leftG + G);
      const above = G * perDiagonal;
      const aboveRhs = openRhs * perDiagonal;
      upper[i - 1] = above;
      rhs[i - 1] = aboveRhs;
      leftG = G * (1 - above) + S1;
      openRhs = S0 + G * aboveRhs;
    } else {
      leftG = S1;
      openRhs = S0;
    }
    conductivityBefore = conductivity;
  }

  // Outer face: film and half a shell in series.
  const Gs =
    kernel.outerAreaM2 /
    (1 / (PACK_VAPOUR_FILM_M_PER_S * member.filmScale) + (0.5 * kernel.depthM) / conductivityBefore);
  const perDiagonal = 1 / (leftG + Gs);
  const outermost = Gs * perDiagonal;
  const outermostRhs = openRhs * perDiagonal;
  upper[SHELLS - 1] = outermost;
  rhs[SHELLS - 1] = outermostRhs;

  // Box air: V·de/dt = Gs·(e_N − e) + Q·(e_in − e) + reel.
  const kelvinBox = boxC + 273.15;
  const volume = (member.volumeM3 * 296.15 * perS) / kelvinBox;
  const vent = member.ventM3PerS + (lidS > 0 ? (lidS * perS * member.volumeM3) / LID_EXCHANGE_S : 0);
  const reel = member.paperG > 0;
  if (reel) relatePaper(paper, member, state, table, boxC, temperatureC[SHELLS - 1]!, dtS);
  const boxDiagonal = volume + Gs * (1 - outermost) + vent + (reel ? paper.given1 : 0);
  const given = vent * supplyGPerM3 + (reel ? paper.given0 : 0) + Gs * outermostRhs;
  const box = (volume * state.boxGPerM3 + given) / boxDiagonal;
  state.boxGPerM3 = box;
  if (reel) {
    state.paperOuterG = paper.own + paper.perE * box;
    state.paperInnerG = innerPaperG(paper, state.paperOuterG, state.paperInnerG);
  }

  for (let i = SHELLS - 1, e = box; i >= 0; i--) {
    e = rhs[i]! + upper[i]! * e;
    const surface = intercept[i]! + slope[i]! * e;
    const m = i * MODES;
    const u1 = modes[m]! + gain[m]! * (surface - modes[m]!);
    const u2 = modes[m + 1]! + gain[m + 1]! * (surface - modes[m + 1]!);
    const u3 = modes[m + 2]! + gain[m + 2]! * (surface - modes[m + 2]!);
    modes[m] = u1;
    modes[m + 1] = u2;
    modes[m + 2] = u3;
    const w = C1 * u1 + C2 * u2 + C3 * u3;
    // What leaves takes its heat along; the next step's conduction brings it back.
    const coolingC = coolingCPerPercent * (moisture[i]! - w);
    temperatureC[i] = temperatureC[i]! - Math.min(MOST_COOLING_C, Math.max(-MOST_COOLING_C, coolingC));
    moisture[i] = w;
    activity[i] = e * perSaturations[i]!;
  }
}
