/**
 * A spool's draws from now on, as it goes on drying: the states from which a job could start, half an hour apart.
 *
 * Made once for each refit of the spool; start checks that differ in grams, hours or time are then cheap.
 */
import { DRAWS, drawUnknowns, modelErrorOf, seedOf, standardDraws } from '../drying/draws.ts';
import { createHoldingBench } from '../drying/holding.ts';
import { type ModelState, SHELLS, shapeKernel, stepModel } from '../drying/model.ts';
import { applyUnknowns, type DryingSetup, type Priors, UNKNOWNS } from '../drying/priors.ts';
import { refit } from '../drying/refit.ts';
import { beginMember, stepPast, supplyOf, type Workbench } from '../drying/simulate.ts';
import { type DryingState, fitFrom } from '../drying/state.ts';

/** Seconds ahead of the starts looked at: half-hourly for a day, then two-hourly to three days. */
export const STARTS_S: readonly number[] = [
  ...Array.from({ length: 49 }, (_, i) => 1800 * i),
  ...Array.from({ length: 24 }, (_, i) => 86_400 + 7200 * (i + 1)),
];
const LONGEST_STEP_S = 900;
const MODES = 3 * SHELLS;
/** Temperatures, modes, activities, moistures, box vapour, water of the paper's outer and inner plies. */
const WIDTH = SHELLS + MODES + SHELLS + SHELLS + 3;
const ASSUMED_ROOM_RH_PERCENT = 45;

export interface SpoolAhead {
  /** `drying`: it dries on; `kept`: unheated, so that it stays as it is. */
  readonly way: 'drying' | 'kept';
  /** Time of the first state. */
  readonly fromMs: number;
  readonly setup: DryingSetup;
  readonly bench: Workbench;
  /** Seconds ahead of the starts kept. */
  readonly startsS: readonly number[];
  /** Unknowns, draw by draw. */
  readonly unknowns: Float64Array;
  /** States: start by start, draw by draw. */
  readonly states: Float64Array;
  readonly roomRhPercent: number;
  readonly roomGPerM3: number;
  /** Box air that the drying goes on at, °C. */
  readonly boxC: number;
  readonly errors: readonly { readonly mean: number; readonly turn: number }[];
}

export type SpoolAheadAnswer =
  | { readonly ok: true; readonly ahead: SpoolAhead }
  | { readonly ok: false; readonly reason: 'no-estimate'; readonly detail: string };

function priorsOf(setup: DryingSetup, state: DryingState): Priors {
  const { run, lastPriors } = state;
  return {
    setup,
    supply: run?.supply ?? setup.airSupply ?? 'room',
    warmStart: run?.warmStart ?? lastPriors?.warmStart ?? false,
    carried: run ? run.carried : (lastPriors?.carried ?? null),
    roomKnown: state.lastRoom !== null,
    learnedMean: state.learnedMean,
    learnedSd: state.learnedSd,
  };
}

/** `startsS`: starts to keep; `[0]` is enough to ask about now alone, and quicker. */
export function lookAhead(
  setup: DryingSetup,
  state: DryingState,
  startsS: readonly number[] = STARTS_S,
): SpoolAheadAnswer {
  const { run } = state;
  if (run?.posterior) return { ok: true, ahead: fromRun(setup, state, startsS) };
  if (run) return { ok: false, reason: 'no-estimate', detail: 'the drying run has only begun' };
  return { ok: true, ahead: fromKeeping(setup, state) };
}

const errorsOf = (standard: Float64Array) =>
  Array.from({ length: DRAWS }, (_, d) => modelErrorOf(standard, d));

function fromRun(setup: DryingSetup, state: DryingState, startsS: readonly number[]): SpoolAhead {
  const run = state.run!;
  const standard = standardDraws(seedOf(setup.station, setup.spool, run.startMs));
  const { posterior, forcing, forecast, first, bench } = refit({
    priors: priorsOf(setup, state),
    cells: run.history.cells,
    weighIns: run.weighIns,
    rhStepPercent: run.history.rhStepPercent,
    beforeC: run.beforeC,
    before: fitFrom(run),
    standard,
  });
  const centre = Float64Array.from(posterior.centre);
  const lower = Float64Array.from(posterior.lower);
  const unknowns = new Float64Array(DRAWS * UNKNOWNS.length);
  const states = new Float64Array(startsS.length * DRAWS * WIDTH);
  const z = new Float64Array(UNKNOWNS.length);
  const { kernel, member, start, state: model } = bench;
  for (let d = 0; d < DRAWS; d++) {
    drawUnknowns(posterior.active, centre, lower, standard, d, z);
    unknowns.set(z, d * UNKNOWNS.length);
    beginMember(bench, z, forcing, first);
    for (let i = 0; i < forcing.count; i++) stepPast(bench, forcing, i);
    const supply = supplyOf(start, forecast.roomGPerM3);
    let atS = 0;
    for (let at = 0; at < startsS.length; at++) {
      while (atS < startsS[at]!) {
        const dtS = Math.min(LONGEST_STEP_S, startsS[at]! - atS);
        stepModel(kernel, member, model, dtS, forecast.airC, supply, 0);
        atS += dtS;
      }
      keepState(model, states, (at * DRAWS + d) * WIDTH);
    }
  }
  return {
    way: 'drying',
    fromMs: run.startMs + 1000 * forecast.fromS,
    setup,
    startsS,
    bench,
    unknowns,
    states,
    roomRhPercent: forcing.roomRhPercent,
    roomGPerM3: forecast.roomGPerM3,
    boxC: forecast.airC,
    errors: errorsOf(standard),
  };
}

/** Unheated: outer turns follow the air in days, so that over a job's hours it stays as it is. */
function fromKeeping(setup: DryingSetup, state: DryingState): SpoolAhead {
  const standard = standardDraws(seedOf(setup.station, setup.spool, state.seedMs));
  const { bench, unknowns } = createHoldingBench(priorsOf(setup, state), state.lastPosterior, standard);
  const states = new Float64Array(DRAWS * WIDTH);
  const { member, start, state: model } = bench;
  for (let d = 0; d < DRAWS; d++) {
    applyUnknowns(
      bench.priors,
      unknowns.subarray(d * UNKNOWNS.length, (d + 1) * UNKNOWNS.length),
      ASSUMED_ROOM_RH_PERCENT,
      member,
      start,
    );
    model.temperatureC.fill(state.holding.temperatureC);
    for (let i = 0; i < SHELLS; i++) {
      const a = start.activity[i]!;
      const w = (member.slopeWtPercent * a) / Math.max(0.05, 1 - member.curvature * a);
      for (let m = 0; m < 3; m++) model.modes[3 * i + m] = state.holding.modes?.[d * MODES + 3 * i + m] ?? w;
      // The mean over a cylinder's three modes, as in the model itself.
      const [u1, u2, u3] = [model.modes[3 * i]!, model.modes[3 * i + 1]!, model.modes[3 * i + 2]!];
      model.moisture[i] = 0.69166 * u1 + 0.131271 * u2 + 0.177069 * u3;
      model.activity[i] =
        model.moisture[i]! / (member.slopeWtPercent + member.curvature * model.moisture[i]!);
    }
    keepState(model, states, d * WIDTH);
  }
  return {
    way: 'kept',
    fromMs: state.atMs,
    setup,
    startsS: [0],
    bench,
    unknowns,
    states,
    roomRhPercent: ASSUMED_ROOM_RH_PERCENT,
    roomGPerM3: Number.NaN,
    boxC: state.holding.temperatureC,
    errors: errorsOf(standard),
  };
}

function keepState(model: ModelState, into: Float64Array, at: number): void {
  into.set(model.temperatureC, at);
  into.set(model.modes, at + SHELLS);
  into.set(model.activity, at + SHELLS + MODES);
  into.set(model.moisture, at + 2 * SHELLS + MODES);
  into[at + 3 * SHELLS + MODES] = model.boxGPerM3;
  into[at + 3 * SHELLS + MODES + 1] = model.paperOuterG;
  into[at + 3 * SHELLS + MODES + 2] = model.paperInnerG;
}

/** Puts one draw at one start back onto the bench: member, kernel and state. */
export function takeState(ahead: SpoolAhead, startPlace: number, draw: number): void {
  const { bench, unknowns, states, roomRhPercent } = ahead;
  const { kernel, member, start, state } = bench;
  const z = unknowns.subarray(draw * UNKNOWNS.length, (draw + 1) * UNKNOWNS.length);
  applyUnknowns(bench.priors, z, roomRhPercent, member, start);
  shapeKernel(kernel, member);
  const at = (startPlace * DRAWS + draw) * WIDTH;
  state.temperatureC.set(states.subarray(at, at + SHELLS));
  state.modes.set(states.subarray(at + SHELLS, at + SHELLS + MODES));
  state.activity.set(states.subarray(at + SHELLS + MODES, at + 2 * SHELLS + MODES));
  state.moisture.set(states.subarray(at + 2 * SHELLS + MODES, at + 3 * SHELLS + MODES));
  state.boxGPerM3 = states[at + 3 * SHELLS + MODES]!;
  state.paperOuterG = states[at + 3 * SHELLS + MODES + 1]!;
  state.paperInnerG = states[at + 3 * SHELLS + MODES + 2]!;
}
