/**
 * A spool that is kept, not dried: the same physics at the air measured about it, with nothing fitted.
 *
 * Eighty members are carried on every ten minutes, in the box's own air, in the room's while the spool lies out, or not
 * at all in a bag. They come from the prior, or from the last run's posterior.
 */
import { CYLINDER_MODES } from '../../physics/diffusion.ts';
import { createDrawAnswers, DRAWS, type DrawAnswers, drawUnknowns, modelErrorOf } from './draws.ts';
import { floorShare, PATH_S } from './forecast.ts';
import { meanMoisture, SHELLS, shapeKernel, stepModel } from './model.ts';
import { applyUnknowns, type CarriedStart, type Priors } from './priors.ts';
import { BEYOND } from './quantiles.ts';
import type { Posterior } from './refit.ts';
import { createWorkbench, type Workbench } from './simulate.ts';
import { reducedSaturationGPerM3 } from './thermal-table.ts';
import { readyShare, wettestTurn } from './turns.ts';
import { UNKNOWNS, type Unknown } from './unknowns.ts';

const MODES_PER_DRAW = 3 * SHELLS;
/** Vent flow that makes the box's air the measured air, m³/s. */
const FORCED_M3_PER_S = 1;

export interface Holding {
  /** Mode levels, wt %, draw by draw; null before the first air is known. */
  modes: number[] | null;
  temperatureC: number;
}

/** Air about the spool: measured, so that no vent needs to be known. */
export interface HeldAir {
  readonly airC: number;
  /** NaN without a humidity. */
  readonly rhPercent: number;
}

export interface HoldingBench {
  readonly bench: Workbench;
  readonly unknowns: Float64Array;
}

/** Members by their unknowns: the posterior's where there is one. */
export function createHoldingBench(
  priors: Priors,
  posterior: Posterior | null,
  standard: Float64Array,
): HoldingBench {
  const bench = createWorkbench(priors);
  const unknowns = new Float64Array(DRAWS * UNKNOWNS.length);
  const active: readonly Unknown[] = posterior?.active ?? UNKNOWNS;
  const n = active.length;
  const centre = Float64Array.from(posterior?.centre ?? new Array<number>(n).fill(0));
  const lower = Float64Array.from(
    posterior?.lower ?? Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? 1 : 0)),
  );
  const z = new Float64Array(UNKNOWNS.length);
  for (let draw = 0; draw < DRAWS; draw++) {
    drawUnknowns(active, centre, lower, standard, draw, z);
    unknowns.set(z, draw * UNKNOWNS.length);
  }
  return { bench, unknowns };
}

const ASSUMED_ROOM_RH_PERCENT = 45;

function begin({ bench, unknowns }: HoldingBench, holding: Holding, draw: number): void {
  const z = unknowns.subarray(draw * UNKNOWNS.length, (draw + 1) * UNKNOWNS.length);
  applyUnknowns(bench.priors, z, ASSUMED_ROOM_RH_PERCENT, bench.member, bench.start);
  shapeKernel(bench.kernel, bench.member);
  const { state, member, start } = bench;
  state.temperatureC.fill(holding.temperatureC);
  member.paperG = 0;
  member.ventM3PerS = FORCED_M3_PER_S;
  for (let i = 0; i < SHELLS; i++) {
    const a = start.activity[i]!;
    const w = (member.slopeWtPercent * a) / Math.max(0.05, 1 - member.curvature * a);
    for (let m = 0; m < 3; m++)
      state.modes[3 * i + m] = holding.modes ? holding.modes[draw * MODES_PER_DRAW + 3 * i + m]! : w;
    state.moisture[i] = CYLINDER_MODES.reduce(
      (sum, mode, m) => sum + mode.share * state.modes[3 * i + m]!,
      0,
    );
    state.activity[i] = state.moisture[i]! / (member.slopeWtPercent + member.curvature * state.moisture[i]!);
  }
}

/** Carries all members on by `dtS` in the air measured; without a humidity they stand still. */
export function carryHolding(bench: HoldingBench, holding: Holding, air: HeldAir, dtS: number): void {
  const modes = new Array<number>(DRAWS * MODES_PER_DRAW);
  const { state, kernel, member, start } = bench.bench;
  for (let draw = 0; draw < DRAWS; draw++) {
    begin(bench, holding, draw);
    const vapour = vapourOf(air, start.rhOffset, start.rhGain);
    if (!Number.isNaN(vapour)) {
      state.temperatureC.fill(air.airC);
      state.boxGPerM3 = vapour;
      for (let left = dtS; left > 0; left -= 600)
        stepModel(kernel, member, state, Math.min(600, left), air.airC, vapour, 0);
    }
    for (let m = 0; m < MODES_PER_DRAW; m++) modes[draw * MODES_PER_DRAW + m] = state.modes[m]!;
  }
  holding.modes = modes;
  if (!Number.isNaN(air.airC)) holding.temperatureC = air.airC;
}

function vapourOf(air: HeldAir, offset: number, gain: number): number {
  const rh = Math.min(99, Math.max(0.5, (air.rhPercent - offset) / gain));
  return 0.01 * rh * reducedSaturationGPerM3(air.airC);
}

/** What the members say now, and where the measured air takes them. */
export function readHolding(
  bench: HoldingBench,
  holding: Holding,
  air: HeldAir | null,
  limitWtPercent: number,
  standard: Float64Array,
): DrawAnswers {
  const answers = createDrawAnswers(PATH_S.length);
  const { state, kernel, member, start } = bench.bench;
  for (let draw = 0; draw < DRAWS; draw++) {
    begin(bench, holding, draw);
    const { mean, turn } = modelErrorOf(standard, draw);
    answers.mean[draw] = mean * meanMoisture(kernel, state);
    answers.wettest[draw] = mean * turn * wettestTurn(state.moisture);
    answers.readyShare[draw] = readyShare(state.moisture, kernel.shellShare, limitWtPercent / (mean * turn));
    for (let i = 0; i < SHELLS; i++) {
      answers.profile[draw * SHELLS + i] = mean * state.moisture[i]!;
      answers.activity[draw * SHELLS + i] = state.activity[i]!;
    }
    answers.dryAtS[draw] = BEYOND;
    answers.dryThroughAtS[draw] = BEYOND;
    const vapour = air === null ? Number.NaN : vapourOf(air, start.rhOffset, start.rhGain);
    if (air === null || Number.isNaN(vapour)) {
      answers.floor[draw] = Number.NaN;
      answers.path.fill(answers.mean[draw]!, draw * PATH_S.length, (draw + 1) * PATH_S.length);
      continue;
    }
    const enthalpyKJPerMol = bench.bench.priors.setup.material.netSorptionEnthalpyKJPerMol;
    answers.floor[draw] = floorShare(member, air.airC, enthalpyKJPerMol, vapour);
    state.temperatureC.fill(air.airC);
    state.boxGPerM3 = vapour;
    for (let point = 0; point < PATH_S.length; point++) {
      if (point > 0)
        stepModel(kernel, member, state, PATH_S[point]! - PATH_S[point - 1]!, air.airC, vapour, 0);
      answers.path[draw * PATH_S.length + point] = mean * meanMoisture(kernel, state);
    }
  }
  return answers;
}

/** Mode levels of a run's draws at its end, so that holding goes on from them. */
export function carriedStart(answers: DrawAnswers): CarriedStart {
  const activity: number[] = [];
  let spread = 0;
  for (let i = 0; i < SHELLS; i++) {
    let sum = 0;
    let square = 0;
    for (let draw = 0; draw < DRAWS; draw++) {
      const ln = Math.log(Math.max(1e-5, answers.activity[draw * SHELLS + i]!));
      sum += ln;
      square += ln * ln;
    }
    const mean = sum / DRAWS;
    activity.push(Math.exp(mean));
    spread += Math.sqrt(Math.max(0, square / DRAWS - mean * mean)) / SHELLS;
  }
  return { activity, sdLn: Math.max(0.1, 1.15 * spread) };
}
