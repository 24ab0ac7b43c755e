/**
 * How far the predictions are from the readings, in units of honest error.
 *
 * The model's error is slow, not white: an Ornstein–Uhlenbeck discrepancy of sd s and correlation time τ, and a small
 * white part. Whitened one after the other: [e_k − φ·(s_k/s_{k−1})·e_{k−1}]/√(s_k²(1 − φ²) + n²), φ = exp(−Δt/τ).
 * White noise instead would make a hundred readings a hundred witnesses: overconfident.
 */
import type { Forcing } from './forcing.ts';
import type { Cells } from './history.ts';
import { hasValue } from './history.ts';
import type { MemberStart } from './priors.ts';
import { SPREAD } from './priors.ts';
import { placeOf } from './unknowns.ts';

/**
 * Humidity, %RH: s = a + b·RH. Uneven air and the model's own shape scale with the level. Tuned on seeds 301–360 of the study:
 * three times as much made the bands a tenth wider and the middle error 0.27 instead of 0.24, with no better coverage.
 */
const RH_FIXED = 0.01;
const RH_SHARE = 0.005;
/**
 * With a scale three times as much: amount and air then bear on the same small water, and where they disagree by the model's own
 * error neither is to win. Without it, PA6 at 70 °C was covered in 34 of 48 looks instead of 43, and no error got smaller.
 */
const WITH_SCALE = 3;
const RH_TAU_S = 7200;
/** Noise left in a cell's mean of an unrounded sensor. */
const RH_NUGGET = 0.01;
/** A cardboard reel stored wet gives its water as two plies of one paper do not: the share above alone made such runs sure and wrong. */
const RH_PAPER_SHARE = 0.01;
/**
 * While the box warms, a sensor that follows humidity and temperature with unlike lags is wrong by lag·dT/dt·d ln p_s/dT
 * of its value: 25 s and 5 %/K.
 */
const RH_LAG_S = 25;
const RH_PER_C = 0.05;
/**
 * While the spool warms through, outer turns, reel and walls give water in ways that six shells do not follow. Counted
 * by how far the air is ahead of its own past (first order, an hour): per °C, as a share of the level and in %RH.
 */
const RH_WARMING_TAU_S = 3600;
const RH_WARMING_SHARE_PER_C = 0.003;
const RH_WARMING_PER_C = 0.006;
const RH_WARMING_PASSES_S = 1200;
/**
 * A room that nobody measures moves by so much about its mean in hours, as a share of the vapour that it sends in. Counted as none,
 * 60 tuning runs without a room sensor were covered in 76 of 100 looks and 6 of 36 calls were false; so, in 92, and 1 of 21.
 */
const UNSEEN_ROOM_SHARE = 0.08;
/** Other spools in the same air: their water can't be told from this one's. */
const RH_COMPANION_SHARE = 0.5;

/** Mass, g: creep, draught, vibration that the named terms leave. */
/** A fan that starts lifts the spool by tenths of a gram, and hot air carries less of it: the tare is taken after. */
const MASS_FROM_S = 600;
const MASS_S = 0.2;
const MASS_TAU_S = 8 * 3600;
const MASS_NUGGET = 0.03;
/** A lid shakes the scale: the chain starts anew with this sd. */
const MASS_LID_S = 0.5;
const CREEP_FAST_S = 1800;
const CREEP_SLOW_S = 6 * 3600;

/** Beyond this a residual counts linearly (Huber): one bad block must not drag the fit. */
const HUBER = 4;

export interface WeighIn {
  /** Run time, s; before the run: 0. */
  readonly runS: number;
  readonly massG: number;
  readonly resolutionG: number;
}

/** Readings of a run laid out for the fit. */
export interface Readings {
  readonly rhCells: readonly number[];
  readonly massCells: readonly number[];
  readonly weighIns: readonly { readonly cell: number; readonly massG: number; readonly sdG: number }[];
  readonly cells: Cells;
  readonly saturation: Float64Array;
  /** Level that the errors of humidity are counted on, %RH, cell by cell; set by `reweigh`. */
  readonly level: Float64Array;
  /** Share of its heat shift that the humidity sensor has reached, cell by cell. */
  readonly heatShare: Float64Array;
  /** How far the air is ahead of its last hour, °C, cell by cell. */
  readonly aheadC: Float64Array;
  /** White error of a cell, %RH: noise, and the rounding of the readings. */
  readonly nuggetPercent: number;
  /** Error that lasts: %RH, cell by cell, and as a share of the level. */
  readonly lastingPercent: Float64Array;
  readonly lastingShare: number;
  /** Mass and cell temperature about which tare and drift are counted. */
  readonly massZeroG: number;
  readonly cellZeroC: number;
  readonly weighZeroG: number;
}

export interface Witness {
  /** Smallest step between two humidities; undefined where none was read. */
  readonly rhStepPercent: number | undefined;
  /** Other spools in the same air. */
  readonly companions: number;
  /** The reel holds water of its own, or may. */
  readonly paperReel: boolean;
}

export function layOutReadings(
  cells: Cells,
  forcing: Forcing,
  weighIns: readonly WeighIn[],
  witness: Witness,
  saturation: (temperatureC: number) => number,
): Readings {
  const rhCells: number[] = [];
  const massCells: number[] = [];
  for (let i = 0; i < forcing.count; i++) {
    if (hasValue(cells.rhPercent[i]!) && !cells.masked[i]) rhCells.push(i);
    if (hasValue(cells.massG[i]!) && !cells.lidS[i] && forcing.endS[i]! > MASS_FROM_S) massCells.push(i);
  }
  const placed = weighIns.map((weighIn) => ({
    cell: cellAt(forcing, weighIn.runS),
    massG: weighIn.massG,
    // A display's step is uniform (step/√12); the hand that puts the spool down adds as much again.
    sdG: Math.max(0.05, 0.5 * weighIn.resolutionG),
  }));
  const firstMass = massCells[0];
  const scale = massCells.length > 1 ? WITH_SCALE : 1;
  const saturations = Float64Array.from(forcing.airC, (airC) => saturation(airC));
  return {
    rhCells,
    massCells,
    weighIns: placed.length > 1 ? placed : [],
    cells,
    saturation: saturations,
    level: new Float64Array(forcing.count),
    heatShare: forcing.heatShare,
    aheadC: aheadOfPast(forcing),
    // A rounded value lies anywhere in its step (step/√12), for as long as the air stands still.
    nuggetPercent: Math.hypot(RH_NUGGET, (witness.rhStepPercent ?? 0) / Math.sqrt(12)),
    lastingPercent: saturations.map((ofCell, i) => {
      const unseen = hasValue(cells.roomGPerM3[i]!) ? 0 : UNSEEN_ROOM_SHARE * forcing.roomGPerM3[i]!;
      return Math.hypot(scale * RH_FIXED, (100 * unseen) / ofCell);
    }),
    lastingShare:
      scale * RH_SHARE +
      (witness.paperReel ? RH_PAPER_SHARE : 0) +
      (witness.companions > 0 ? RH_COMPANION_SHARE : 0),
    massZeroG: firstMass === undefined ? 0 : cells.massG[firstMass]!,
    cellZeroC: firstMass === undefined ? 0 : cellTemperature(cells, forcing, firstMass),
    weighZeroG: placed[0]?.massG ?? 0,
  };
}

function aheadOfPast(forcing: Forcing): Float64Array {
  const ahead = new Float64Array(forcing.count);
  let past = forcing.beforeC;
  for (let i = 0; i < forcing.count; i++) {
    past += (forcing.airC[i]! - past) * (1 - Math.exp(-forcing.lengthS[i]! / RH_WARMING_TAU_S));
    ahead[i] = Math.abs(forcing.airC[i]! - past);
  }
  return ahead;
}

/** Index of the cell whose end is nearest; −1: at the start, before any cell. */
function cellAt(forcing: Forcing, runS: number): number {
  let cell = -1;
  while (cell + 1 < forcing.count && forcing.endS[cell + 1]! <= runS + 0.5 * forcing.lengthS[cell + 1]!)
    cell++;
  return cell;
}

const cellTemperature = (cells: Cells, forcing: Forcing, i: number): number =>
  hasValue(cells.cellC[i]!) ? cells.cellC[i]! : forcing.airC[i]!;

export const countResiduals = (readings: Readings): number =>
  readings.rhCells.length + readings.massCells.length + readings.weighIns.length;

/** Whitened residuals of all readings, RH first. `startWaterG` is the water at run time 0. */
export function fillResiduals(
  readings: Readings,
  forcing: Forcing,
  start: MemberStart,
  z: Float64Array,
  predictions: Float64Array,
  startWaterG: number,
  residuals: Float64Array,
): void {
  let at = fillHumidity(readings, forcing, start, predictions, residuals);
  at = fillMass(readings, forcing, z, predictions, startWaterG, residuals, at);
  const { count } = forcing;
  const weighTare = SPREAD.tareG * z[placeOf['weigh-tare']]!;
  for (const weighIn of readings.weighIns) {
    const water = weighIn.cell < 0 ? startWaterG : predictions[2 * count + weighIn.cell]!;
    const error = weighIn.massG - readings.weighZeroG - (weighTare + water - startWaterG);
    residuals[at++] = bounded(error / weighIn.sdG);
  }
}

/** Puts the predicted humidity in as the level of its own error. */
export function reweigh(readings: Readings, start: MemberStart, predictions: Float64Array): void {
  for (const i of readings.rhCells)
    readings.level[i] = Math.max(0, predictedHumidity(readings, start, predictions, i));
}

const predictedHumidity = (
  readings: Readings,
  start: MemberStart,
  predictions: Float64Array,
  i: number,
): number =>
  (start.rhGain * 100 * predictions[i]!) / readings.saturation[i]! +
  start.rhOffset +
  start.rhHeat * readings.heatShare[i]!;

function fillHumidity(
  readings: Readings,
  forcing: Forcing,
  start: MemberStart,
  predictions: Float64Array,
  residuals: Float64Array,
): number {
  const { cells } = readings;
  const { lastingPercent, lastingShare, nuggetPercent } = readings;
  let at = 0;
  let before = 0;
  let lastingBefore = 0;
  let passingBefore = 0;
  let timeBefore = Number.NEGATIVE_INFINITY;
  for (const i of readings.rhCells) {
    const seen = cells.rhPercent[i]!;
    let e = seen - predictedHumidity(readings, start, predictions, i);
    // Clipped at zero: the true reading is at or below.
    if (cells.clipped[i] && e > 0) e = 0;
    const level = readings.level[i]!;
    const rateCPerS = i > 0 ? Math.abs(forcing.airC[i]! - forcing.airC[i - 1]!) / forcing.lengthS[i]! : 0;
    const warming = readings.aheadC[i]!;
    const lasting = lastingPercent[i]! + lastingShare * level;
    const passing =
      RH_WARMING_PER_C * warming +
      (RH_LAG_S * RH_PER_C * rateCPerS + RH_WARMING_SHARE_PER_C * warming) * level;
    // Two errors add: a lasting one and one that passes with the warming. The last e foretells by their covariance:
    // carried into a calmer time whole, the first would pull everything after it the other way.
    const elapsedS = forcing.endS[i]! - timeBefore;
    const covariance =
      Math.exp(-elapsedS / RH_TAU_S) * lasting * lastingBefore +
      Math.exp(-elapsedS / RH_WARMING_PASSES_S) * passing * passingBefore;
    const varianceBefore = lastingBefore * lastingBefore + passingBefore * passingBefore;
    const carry = varianceBefore > 0 ? covariance / varianceBefore : 0;
    const variance =
      lasting * lasting + passing * passing - carry * covariance + nuggetPercent * nuggetPercent;
    residuals[at++] = bounded((e - carry * before) / Math.sqrt(variance));
    before = e;
    lastingBefore = lasting;
    passingBefore = passing;
    timeBefore = forcing.endS[i]!;
  }
  return at;
}

function fillMass(
  readings: Readings,
  forcing: Forcing,
  z: Float64Array,
  predictions: Float64Array,
  startWaterG: number,
  residuals: Float64Array,
  from: number,
): number {
  const { cells } = readings;
  const { count } = forcing;
  const tare = SPREAD.tareG * z[placeOf.tare]!;
  const perC = SPREAD.cellGPerC * z[placeOf['cell-temperature']]!;
  const fast = SPREAD.creepG * z[placeOf['creep-fast']]!;
  const slow = SPREAD.creepG * z[placeOf['creep-slow']]!;
  let at = from;
  let before = 0;
  let timeBefore = Number.NEGATIVE_INFINITY;
  for (const i of readings.massCells) {
    const t = forcing.endS[i]! - 0.5 * forcing.lengthS[i]!;
    const predicted =
      tare +
      predictions[count + i]! -
      startWaterG +
      perC * (cellTemperature(cells, forcing, i) - readings.cellZeroC) +
      fast * (1 - Math.exp(-t / CREEP_FAST_S)) +
      slow * (1 - Math.exp(-t / CREEP_SLOW_S));
    const e = cells.massG[i]! - readings.massZeroG - predicted;
    const afterLid = i > 0 && cells.lidS[i - 1]! > 0;
    const phi = afterLid ? 0 : Math.exp(-(forcing.endS[i]! - timeBefore) / MASS_TAU_S);
    const s = afterLid ? MASS_LID_S : MASS_S;
    residuals[at++] = bounded(
      (e - phi * before) / Math.sqrt(s * s * (1 - phi * phi) + MASS_NUGGET * MASS_NUGGET),
    );
    before = e;
    timeBefore = forcing.endS[i]!;
  }
  return at;
}

/** Huber's ρ as a residual: linear growth of the cost past the bend. */
function bounded(r: number): number {
  const size = Math.abs(r);
  return size <= HUBER ? r : Math.sign(r) * Math.sqrt(HUBER * (2 * size - HUBER));
}
