/**
 * One refit of a heat-up: blocks in; posterior, and draws of where the chamber is and where it goes, out.
 *
 * The model's error is small and short (an Ornstein–Uhlenbeck discrepancy, sd s, five minutes, beside a small white one: residuals
 * are e_k − φ·e_{k−1} over √(s²(1−φ²) + nugget²)) but for a while after the heat came on, a door was open or a fan was switched:
 * light parts that the nodes do not have then still follow, and what they add fades in a quarter of an hour. Residuals start
 * 12 min after the heat: earlier ones bias the end by −1 to −2 °C.
 */
import { inverseDiagonal } from '../drying/cholesky.ts';
import { type FitAnswer, type FitProblem, fit } from '../drying/fit.ts';
import { BLOCK_S, type Blocks, isThere } from './blocks.ts';
import { DISCREPANCY_C, DISCREPANCY_S, drawAhead, NUGGET_C, type SoakAnswers, spreadInto } from './draws.ts';
import type { OpeningRule } from './opening.ts';
import { activeUnknowns, type SoakFrame, UNKNOWNS, type Unknown } from './priors.ts';
import { createWorkbench, type Forcing, simulatePast } from './simulate.ts';

const FIRST_RESIDUAL_S = 720;
/** What a disturbance adds to the sd of residuals, °C, and the time in which that fades, s: tuned on 180 heat-ups with doors. */
const UNREST_C = 0.3;
const UNREST_FADES_S = 900;
/** Sd of what a door leaves behind, °C; it fades as the discrepancy does. */
const AFTER_DOOR_C = 1;
/** And a switched fan. */
const AFTER_SWITCH_C = 0.4;
const COLD_ITERATIONS = 6;
const WARM_ITERATIONS = 2;
/** From afar the residuals' valley is too narrow to be found: so much wider at first. */
const LOOSENED = 4;
const TOLERATED_MEAN_SQUARE = 1.5;
const DOUBTED_MEAN_SQUARE = 1.2;

export interface SoakPosterior {
  readonly active: readonly Unknown[];
  readonly centre: readonly number[];
  readonly sd: readonly number[];
  readonly meanSquare: number;
}

export interface SoakRefit {
  readonly posterior: SoakPosterior;
  readonly answers: SoakAnswers;
  /** Air of the most likely unknowns, block by block. */
  readonly fitted: Float64Array;
}

/** Errors of temperature don't grow with its level. */
const CONSTANT_WEIGHTS = { reweigh: (): void => {} };

/** Blocks whose mean is compared with the model. */
function residualBlocks(blocks: Blocks, frame: SoakFrame, forcing: Forcing): number[] {
  const first = frame.ramped && frame.carried ? 0 : FIRST_RESIDUAL_S / BLOCK_S;
  const jumps = jumpBlocks(frame, forcing);
  const places: number[] = [];
  for (let i = first; i < blocks.airC.length; i++)
    if (isThere(blocks.airC[i]!) && !blocks.masked[i] && !jumps.some((jump) => Math.abs(i - jump) <= 1))
      places.push(i);
  return places;
}

/** Blocks in which something was switched: when in their four minutes is not known, so that their means say nothing. */
const jumpBlocks = (frame: SoakFrame, forcing: Forcing): number[] =>
  forcing.offBlock === null || frame.bedMeasured
    ? [...forcing.changes]
    : [...forcing.changes, forcing.offBlock];

export function refitSoak(
  blocks: Blocks,
  forcing: Forcing,
  frame: SoakFrame,
  before: SoakPosterior | null,
  standard: Float64Array,
  bandC: number,
  opening: OpeningRule,
  offMs = 0,
): SoakRefit {
  const bench = createWorkbench();
  const active = activeUnknowns(frame);
  const n = active.length;
  const full = new Float64Array(UNKNOWNS.length);
  const places = residualBlocks(blocks, frame, forcing);
  const unrestC = unrestOf(blocks, frame, forcing);
  const start = Float64Array.from(active, (name) => {
    const at = before?.active.indexOf(name) ?? -1;
    return at < 0 ? 0 : before!.centre[at]!;
  });
  const same = before !== null && before.active.length === n;
  const problem: FitProblem = {
    ...CONSTANT_WEIGHTS,
    parameters: n,
    residuals: places.length,
    predictions: forcing.count,
    observationOnly: active.map(() => false),
    simulate: (z, predictions) =>
      simulatePast(bench, frame, spreadInto(active, z, full), forcing, predictions),
    residualsOf: (_z, predictions, residuals) =>
      fillResiduals(blocks, places, unrestC, predictions, residuals),
  };
  const loose: FitProblem = {
    ...problem,
    residualsOf: (z, predictions, residuals) => {
      problem.residualsOf(z, predictions, residuals);
      for (let k = 0; k < places.length; k++) residuals[k]! /= LOOSENED;
    },
  };
  const fitFrom = (z: Float64Array, iterations: number): FitAnswer =>
    fit(problem, z, { iterations, toleratedMeanSquare: TOLERATED_MEAN_SQUARE });
  const fitAnew = (z: Float64Array): FitAnswer => {
    const near = fit(loose, z, { iterations: COLD_ITERATIONS, toleratedMeanSquare: TOLERATED_MEAN_SQUARE });
    return fitFrom(near.outcome === 'failed' ? z : near.z, COLD_ITERATIONS);
  };
  let answer = same ? fitFrom(start, WARM_ITERATIONS) : fitAnew(start);
  if (same && answer.meanSquare > DOUBTED_MEAN_SQUARE) {
    // A warm fit can sit in a hollow that later blocks have shown to be the wrong one.
    const fresh = fitAnew(new Float64Array(n));
    if (fresh.outcome !== 'failed' && costOf(fresh, places.length) < costOf(answer, places.length))
      answer = fresh;
  }
  // A fit that failed says nothing: the draws are then the prior's.
  const failed = answer.outcome === 'failed';
  const centre = failed ? new Float64Array(n) : answer.z;
  const lower = failed ? identity(n) : answer.lower;
  const fitted = new Float64Array(forcing.count);
  simulatePast(bench, frame, spreadInto(active, centre, full), forcing, fitted);
  const last = forcing.count - 1;
  const heard = last >= 0 && isThere(blocks.airC[last]!) && !blocks.masked[last];
  const modelC = last >= 0 ? fitted[last]! : forcing.firstAirC;
  // Half a block lies between the mean of the last one and now.
  const nowC = bench.nodes.airC;
  const aboveFitC = heard ? blocks.airC[last]! - modelC : 0;
  return {
    posterior: {
      active,
      centre: Array.from(centre),
      sd: Array.from(inverseDiagonal(lower, n), Math.sqrt),
      meanSquare: answer.meanSquare,
    },
    fitted,
    answers: drawAhead({
      blocks,
      forcing,
      frame,
      active,
      centre,
      lower,
      standard,
      bandC,
      anchorC: nowC + aboveFitC,
      meanSquare: answer.meanSquare,
      opening,
      offMs,
    }),
  };
}

/** e_k − φ·e_{k−1} over its own sd, from block to block. */
function fillResiduals(
  blocks: Blocks,
  places: readonly number[],
  unrestC: Float64Array,
  predictions: Float64Array,
  residuals: Float64Array,
): void {
  let last = 0;
  for (let k = 0; k < places.length; k++) {
    const i = places[k]!;
    const before = k === 0 ? i : places[k - 1]!;
    const e = blocks.airC[i]! - predictions[i]!;
    const phi = k === 0 ? 0 : Math.exp((-(i - before) * BLOCK_S) / DISCREPANCY_S);
    // A door or a switched fan leaves walls and bed elsewhere than the nodes have them: the discrepancy begins anew, and large.
    const begins = i - before > 1 && isThere(blocks.airC[i - 1]!);
    const after = blocks.masked[i - 1] === 1 ? AFTER_DOOR_C : AFTER_SWITCH_C;
    const own = begins ? after : DISCREPANCY_C * Math.sqrt(1 - phi * phi);
    residuals[k] = (e - phi * last) / Math.hypot(own, NUGGET_C, unrestC[i]!);
    last = e;
  }
}

/** What the latest disturbance still adds to each block's error, °C. */
function unrestOf(blocks: Blocks, frame: SoakFrame, forcing: Forcing): Float64Array {
  let sinceS = frame.ramped ? Number.POSITIVE_INFINITY : 0;
  return Float64Array.from(blocks.airC, (_, i) => {
    if (blocks.masked[i] || forcing.changes.includes(i) || forcing.offBlock === i) sinceS = 0;
    else sinceS += BLOCK_S;
    return UNREST_C * Math.exp(-sinceS / UNREST_FADES_S);
  });
}

const costOf = ({ z, meanSquare }: FitAnswer, count: number): number =>
  z.reduce((sum, value) => sum + value * value, meanSquare * count);

function identity(n: number): Float64Array {
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) matrix[i * n + i] = 1;
  return matrix;
}
