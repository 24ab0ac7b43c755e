/** Eighty draws of the posterior, each run again through the past and on: all bands, times and probabilities come from them. */
import { solveUpper } from '../drying/cholesky.ts';
import { BEYOND } from '../drying/quantiles.ts';
import { antitheticNormals, seededUniform } from '../drying/random.ts';
import { BLOCK_S, type Blocks, isThere } from './blocks.ts';
import { finalNodes, stepChamber } from './model.ts';
import { type OpeningRule, PART_THROWS, partsAhead, tooWarmByC } from './opening.ts';
import { movePart } from './part.ts';
import { placeOf, type SoakFrame, UNKNOWNS, type Unknown } from './priors.ts';
import { ASSUMED_BED_C, cooledBedC, createWorkbench, type Forcing, simulatePast } from './simulate.ts';

export const DRAWS = 80;
/** Beside the unknowns: what the nodes get wrong of the rise still to come, and of the end; then the part's own. */
const EXTRA = 2;
const PART_COLUMN = UNKNOWNS.length + EXTRA;
const COLUMNS = PART_COLUMN + PART_THROWS;
/**
 * Sd of what is still wrong of the rise to come, as a share of it for each degree of it and at most, and of the end, °C: tuned on
 * seeds below 1,000. Far ahead the nodes are a guess; within a degree of the end what is left of the error does not shrink with it.
 */
const RISE_ERROR_PER_C = 0.04;
const MOST_RISE_ERROR = 0.22;
const END_ERROR_C = 0.11;
/** Mean square of residuals from which a fit counts as contradicted: rise and end are then trusted so much less. */
const CONTRADICTED_MEAN_SQUARE = 1.5;

/**
 * The discrepancy's time, s, and its sd beside a small white one, °C. With the third node residuals are that small; 0.07 °C over
 * ten minutes, as two nodes had asked for, left the last degree too little known: 3 to 4 min later at the same share early.
 */
export const DISCREPANCY_S = 300;
export const DISCREPANCY_C = 0.02;
export const NUGGET_C = 0.01;

/** Points of the way ahead, s: five minutes to 2 h, a quarter of an hour to 8 h; then hours to a day, not shown. */
export const PATH_S: readonly number[] = [
  ...Array.from({ length: 25 }, (_, i) => 300 * i),
  ...Array.from({ length: 24 }, (_, i) => 7200 + 900 * (i + 1)),
];
const AHEAD_S: readonly number[] = [
  ...PATH_S,
  ...Array.from({ length: 16 }, (_, i) => 28_800 + 3600 * (i + 1)),
];
const LONGEST_STEP_S = 600;
/** While it cools, and for this long ahead: the opening is told to the minute. */
const COOLING_STEP_S = 60;
const COOLING_CLOSE_S = 7200;

export interface SoakAnswers {
  readonly finalAirC: Float64Array;
  /** End without the draw's errors of the model, and their sd: for a probability without the noise of eighty throws. */
  readonly meanFinalC: Float64Array;
  readonly finalSdC: Float64Array;
  readonly finalFrameC: Float64Array;
  readonly frameC: Float64Array;
  readonly wallC: Float64Array;
  readonly floorC: Float64Array;
  /** Draw by path point. */
  readonly path: Float64Array;
  /** s from now (past: negative) at which the air came within the band of its end for good; BEYOND: not within a day. */
  readonly steadyInS: Float64Array;
  /** s from now (past: negative) at which the chamber may be opened; BEYOND: not within a day, or the heat is on. */
  readonly openInS: Float64Array;
}

export interface DrawInput {
  readonly blocks: Blocks;
  readonly forcing: Forcing;
  readonly frame: SoakFrame;
  readonly active: readonly Unknown[];
  readonly centre: Float64Array;
  /** Cholesky factor of the posterior's precision. */
  readonly lower: Float64Array;
  readonly standard: Float64Array;
  readonly bandC: number;
  /** Air now: the latest reading, moved on by the half block since; without one, of the likeliest unknowns, °C. */
  readonly anchorC: number;
  /** Of the fit's residuals. */
  readonly meanSquare: number;
  readonly opening: OpeningRule;
  /** When the heat was seen to go off, as the minutes' times; nothing while it is on. */
  readonly offMs: number;
}

export const seedOf = (station: string, startMs: number): string => `${station}/soak/${startMs}`;
export const standardDraws = (seed: string): Float64Array =>
  antitheticNormals(seededUniform(seed), DRAWS, COLUMNS);

export function spreadInto(
  active: readonly Unknown[],
  values: ArrayLike<number>,
  full: Float64Array,
): Float64Array {
  full.fill(0);
  for (let j = 0; j < active.length; j++) full[placeOf[active[j]!]] = values[j]!;
  return full;
}

const createAnswers = (): SoakAnswers => ({
  finalAirC: new Float64Array(DRAWS),
  meanFinalC: new Float64Array(DRAWS),
  finalSdC: new Float64Array(DRAWS),
  finalFrameC: new Float64Array(DRAWS),
  frameC: new Float64Array(DRAWS),
  wallC: new Float64Array(DRAWS),
  floorC: new Float64Array(DRAWS),
  path: new Float64Array(DRAWS * PATH_S.length),
  steadyInS: new Float64Array(DRAWS),
  openInS: new Float64Array(DRAWS),
});

export function drawAhead(input: DrawInput): SoakAnswers {
  const { blocks, forcing, frame, active, centre, lower, standard, bandC, opening } = input;
  const bench = createWorkbench();
  const { chamber, nodes, start } = bench;
  const n = active.length;
  const answers = createAnswers();
  const xi = new Float64Array(n);
  const z = new Float64Array(UNKNOWNS.length);
  const past = new Float64Array(forcing.count);
  const last = forcing.count - 1;
  const off = forcing.offBlock !== null;
  const doubt = Math.sqrt(Math.max(1, input.meanSquare / CONTRADICTED_MEAN_SQUARE));
  const endErrorC = doubt * END_ERROR_C;
  const partOf = off ? partsAhead(opening, forcing, input.offMs) : null;
  const measuredBedC = last >= 0 ? forcing.bedC[last]! : Number.NaN;
  for (let d = 0; d < DRAWS; d++) {
    for (let j = 0; j < n; j++) xi[j] = standard[d * COLUMNS + placeOf[active[j]!]]!;
    solveUpper(lower, n, xi);
    // The linearisation says nothing about the far tails: no draw goes there.
    for (let j = 0; j < n; j++) xi[j] = Math.min(4, Math.max(-4, centre[j]! + xi[j]!));
    simulatePast(bench, frame, spreadInto(active, xi, z), forcing, past);
    const roomC = (last >= 0 ? forcing.roomC[last]! : forcing.firstAirC) + start.roomOffsetC;
    const part = partOf?.(bench, standard.subarray(d * COLUMNS + PART_COLUMN, (d + 1) * COLUMNS)) ?? null;
    const bedC = !Number.isNaN(measuredBedC) ? measuredBedC : off ? bench.bedC : ASSUMED_BED_C;
    const end = finalNodes(chamber, off ? roomC : bedC, roomC);
    const nowC = nodes.airC;
    const rise = end.airC - nowC;
    const riseErrorC = doubt * Math.abs(rise) * Math.min(MOST_RISE_ERROR, RISE_ERROR_PER_C * Math.abs(rise));
    const error =
      riseErrorC * standard[d * COLUMNS + UNKNOWNS.length]! +
      endErrorC * standard[d * COLUMNS + UNKNOWNS.length + 1]!;
    // The draw says what is still to come; where the air is now, the reading says better.
    const finalC = input.anchorC + rise + error;
    answers.finalAirC[d] = finalC;
    answers.meanFinalC[d] = input.anchorC + rise;
    answers.finalSdC[d] = Math.hypot(riseErrorC, endErrorC);
    answers.finalFrameC[d] = end.frameC;
    answers.frameC[d] = nodes.frameC;
    answers.wallC[d] = nodes.wallC;
    answers.floorC[d] = nodes.floorC;
    let atS = 0;
    let steadyInS = BEYOND;
    let openInS = BEYOND;
    let bedNowC = bedC;
    let partC = part?.partC ?? 0;
    const bedDecayS = part?.bedDecayS ?? 1;
    let tooWarmC = Number.POSITIVE_INFINITY;
    let lookedS = 0;
    /** Air of this draw; while it cools, the first time at which the chamber may be opened is noted. */
    const look = (): number => {
      const share = Math.abs(rise) < 1e-6 ? 1 : Math.min(1, Math.max(0, (nodes.airC - nowC) / rise));
      const airC = input.anchorC + nodes.airC - nowC + share * error;
      if (part && openInS === BEYOND) {
        const byC = tooWarmByC(opening, airC, Math.max(nodes.wallC, nodes.frameC, nodes.floorC, partC));
        if (byC <= 0)
          openInS = atS === 0 ? -(part.openForS ?? 0) : atS + ((atS - lookedS) * byC) / (tooWarmC - byC);
        tooWarmC = byC;
        lookedS = atS;
      }
      return airC;
    };
    for (let point = 0; point < AHEAD_S.length; point++) {
      const toS = AHEAD_S[point]!;
      while (atS < toS) {
        const dtS = Math.min(part && atS < COOLING_CLOSE_S ? COOLING_STEP_S : LONGEST_STEP_S, toS - atS);
        let meanBedC = bedC;
        if (part) {
          const endC = cooledBedC(bedNowC, nodes.airC, dtS, bedDecayS);
          meanBedC = 0.5 * (bedNowC + endC);
          bedNowC = endC;
        }
        stepChamber(chamber, nodes, dtS, meanBedC, roomC);
        if (part) partC = movePart(part.rates, partC, input.anchorC + nodes.airC - nowC, meanBedC, dtS);
        atS += dtS;
        if (part && atS < toS) look();
      }
      const airC = look();
      if (point < PATH_S.length) answers.path[d * PATH_S.length + point] = airC;
      if (Math.abs(finalC - airC) >= bandC) steadyInS = BEYOND;
      else if (steadyInS === BEYOND) steadyInS = toS;
      // What is found beyond the path stands.
      if (point >= PATH_S.length && steadyInS < toS && (!off || openInS < BEYOND)) break;
    }
    answers.steadyInS[d] = steadyInS > 0 ? steadyInS : -insideSinceS(blocks, finalC, bandC);
    answers.openInS[d] = openInS;
  }
  return answers;
}

/** For how long the measured air has been within the band of an end, s; doors don't count. */
function insideSinceS(blocks: Blocks, finalC: number, bandC: number): number {
  let inside = 0;
  for (let i = blocks.airC.length - 1; i >= 0; i--) {
    const airC = blocks.airC[i]!;
    if (isThere(airC) && !blocks.masked[i] && Math.abs(airC - finalC) >= bandC) break;
    inside = blocks.airC.length - i;
  }
  return Math.max(0, inside - 0.5) * BLOCK_S;
}
