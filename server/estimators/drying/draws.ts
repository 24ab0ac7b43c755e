/**
 * Eighty draws of the posterior, each run again through the whole past and on into the forecast: all bands, times and
 * probabilities are counted from them.
 */
import { solveUpper } from './cholesky.ts';
import type { Forcing } from './forcing.ts';
import { type Forecast, floorShare, forecastStepS } from './forecast.ts';
import { meanMoisture, SHELLS, stepModel } from './model.ts';
import { BEYOND, NEVER } from './quantiles.ts';
import { antitheticNormals, seededUniform } from './random.ts';
import { beginMember, type FirstAir, stepPast, supplyOf, type Workbench } from './simulate.ts';
import { readyShare, wettestTurn } from './turns.ts';
import { placeOf, UNKNOWNS, type Unknown } from './unknowns.ts';

/** Eighty: the sd of P = 0.9 counted from them is 0.03; thirty-two would do for bands alone. Even (antithetic). */
export const DRAWS = 80;

/** Beyond the unknowns each draw has two errors of its own: of the model's mean, and of its wettest turn. */
const EXTRA = 2;
export const DRAW_COLUMNS = UNKNOWNS.length + EXTRA;

/**
 * Sd of ln of what six shells and three modes get wrong with all unknowns right: 3–8 % against a finer spool, more where it
 * is uneven.
 * Turns vary about their shell by uneven winding.
 */
const MODEL_ERROR = 0.06;
const TURN_ERROR = 0.08;

export const seedOf = (station: string, spool: string, startMs: number): string =>
  `${station}/${spool}/${startMs}`;

export const standardDraws = (seed: string): Float64Array =>
  antitheticNormals(seededUniform(seed), DRAWS, DRAW_COLUMNS);

/** What the draws say. Per draw unless named otherwise; times in s of run time. */
export interface DrawAnswers {
  readonly mean: Float64Array;
  readonly wettest: Float64Array;
  readonly readyShare: Float64Array;
  readonly floor: Float64Array;
  readonly dryAtS: Float64Array;
  readonly dryThroughAtS: Float64Array;
  /** Draw by shell, hub first. */
  readonly profile: Float64Array;
  /** Draw by shell: activity at 23 °C that the shell's moisture stands for. */
  readonly activity: Float64Array;
  /** Draw by path point: mean moisture ahead. */
  readonly path: Float64Array;
  /** Draw by mode level, for holding to go on from. */
  readonly modes: Float64Array;
  /** Pack temperature at the hub, °C. */
  readonly coreC: Float64Array;
}

export function createDrawAnswers(pathPoints: number): DrawAnswers {
  const perDraw = () => new Float64Array(DRAWS);
  return {
    mean: perDraw(),
    wettest: perDraw(),
    readyShare: perDraw(),
    floor: perDraw(),
    dryAtS: perDraw(),
    dryThroughAtS: perDraw(),
    profile: new Float64Array(DRAWS * SHELLS),
    activity: new Float64Array(DRAWS * SHELLS),
    path: new Float64Array(DRAWS * pathPoints),
    modes: new Float64Array(DRAWS * 3 * SHELLS),
    coreC: perDraw(),
  };
}

/** z* + L⁻ᵀ·ξ on the active places; the others keep their prior draw where nothing can be learned of them. */
export function drawUnknowns(
  active: readonly Unknown[],
  centre: Float64Array,
  lower: Float64Array,
  standard: Float64Array,
  draw: number,
  into: Float64Array,
): void {
  const n = active.length;
  const xi = new Float64Array(n);
  for (let j = 0; j < n; j++) xi[j] = standard[draw * DRAW_COLUMNS + placeOf[active[j]!]]!;
  solveUpper(lower, n, xi);
  into.fill(0);
  // The linearisation says nothing about the far tails: no draw goes there.
  for (let j = 0; j < n; j++) into[placeOf[active[j]!]] = Math.min(4, Math.max(-4, centre[j]! + xi[j]!));
}

/** The two errors that a draw carries beside its unknowns: factors on the mean and, over it, on the wettest turn. */
export function modelErrorOf(
  standard: Float64Array,
  draw: number,
): { readonly mean: number; readonly turn: number } {
  const at = draw * DRAW_COLUMNS + UNKNOWNS.length;
  return { mean: Math.exp(MODEL_ERROR * standard[at]!), turn: Math.exp(TURN_ERROR * standard[at + 1]!) };
}

/** Runs one draw; `limitWtPercent` decides its crossing times. */
export function runDraw(
  bench: Workbench,
  z: Float64Array,
  forcing: Forcing,
  first: FirstAir,
  forecast: Forecast,
  limitWtPercent: number,
  standard: Float64Array,
  draw: number,
  answers: DrawAnswers,
): void {
  const { kernel, member, start, state } = bench;
  const { mean: error, turn: turnError } = modelErrorOf(standard, draw);
  // The model's error counts on what it reports: the same as a limit moved the other way.
  const meanLimit = limitWtPercent / error;
  const turnLimit = meanLimit / turnError;
  beginMember(bench, z, forcing, first);
  const dry = watchCrossing(meanMoisture(kernel, state), meanLimit);
  const through = watchCrossing(wettestTurn(state.moisture), turnLimit);
  for (let i = 0; i < forcing.count; i++) {
    const dt = forcing.lengthS[i]!;
    stepPast(bench, forcing, i);
    dry.see(meanMoisture(kernel, state), forcing.endS[i]! - dt, dt);
    through.see(wettestTurn(state.moisture), forcing.endS[i]! - dt, dt);
  }
  answers.mean[draw] = error * meanMoisture(kernel, state);
  // Its turns vary about what the model says, but the wettest is never drier than the mean.
  answers.wettest[draw] = Math.max(answers.mean[draw]!, error * turnError * wettestTurn(state.moisture));
  answers.readyShare[draw] = readyShare(state.moisture, kernel.shellShare, turnLimit);
  for (let i = 0; i < SHELLS; i++) {
    const w = state.moisture[i]!;
    answers.profile[draw * SHELLS + i] = error * w;
    // Inverse of w = A·a/(1 − B·a).
    answers.activity[draw * SHELLS + i] = w / (member.slopeWtPercent + member.curvature * w);
  }

  const { modes } = answers;
  for (let m = 0; m < 3 * SHELLS; m++) modes[draw * 3 * SHELLS + m] = state.modes[m]!;
  answers.coreC[draw] = state.temperatureC[0]!;
  const supply = supplyOf(start, forecast.roomGPerM3);
  const floor = floorShare(member, forecast.airC, forecast.enthalpyKJPerMol, supply);
  answers.floor[draw] = floor;
  const never = bench.priors.supply !== 'closed' && floor >= limitWtPercent;
  let at = forcing.count > 0 ? forcing.endS[forcing.count - 1]! : 0;
  let point = 0;
  const points = forecast.pathS.length;
  for (let step = 0; ; step++) {
    while (point < points && forecast.pathS[point]! <= at - forecast.fromS + 1) {
      answers.path[draw * points + point] = error * meanMoisture(kernel, state);
      point++;
    }
    const dt = forecastStepS(step);
    const settled = (dry.crossedS !== null && through.crossedS !== null) || never;
    if (dt === 0 || (settled && point >= points)) break;
    stepModel(kernel, member, state, dt, forecast.airC, supply, 0);
    dry.see(meanMoisture(kernel, state), at, dt);
    through.see(wettestTurn(state.moisture), at, dt);
    at += dt;
  }
  answers.dryAtS[draw] = dry.crossedS ?? (never ? NEVER : BEYOND);
  answers.dryThroughAtS[draw] = Math.max(answers.dryAtS[draw]!, through.crossedS ?? (never ? NEVER : BEYOND));
}

interface Crossing {
  /** Run time at which the value last went under the limit; null while it is above. */
  crossedS: number | null;
  see(value: number, fromS: number, dtS: number): void;
}

/** Notes when a falling value passes its limit; rising above it again takes the note back. Straight line in ln. */
function watchCrossing(startValue: number, limit: number): Crossing {
  let before = startValue;
  return {
    crossedS: startValue < limit ? 0 : null,
    see(value, fromS, dtS) {
      if (value >= limit) this.crossedS = null;
      else if (before >= limit) {
        const part = Math.log(before / limit) / Math.log(before / value);
        this.crossedS = fromS + part * dtS;
      }
      before = value;
    },
  };
}
