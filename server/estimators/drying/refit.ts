/** One refit: the readings so far in, the posterior and all that follows from it out. */

import { inverseDiagonal } from './cholesky.ts';
import { createDrawAnswers, DRAWS, type DrawAnswers, drawUnknowns, runDraw } from './draws.ts';
import { fit } from './fit.ts';
import { buildForcing, coarsen, type Forcing } from './forcing.ts';
import { chooseForecast, type Forecast } from './forecast.ts';
import { type Cells, hasValue } from './history.ts';
import { ASSUMED_ROOM_G_PER_M3, activeUnknowns, type Priors } from './priors.ts';
import { countResiduals, fillResiduals, layOutReadings, reweigh, type WeighIn } from './residuals.ts';
import {
  beginMember,
  createWorkbench,
  type FirstAir,
  simulateHistory,
  type Workbench,
  waterG,
} from './simulate.ts';
import { reducedSaturationGPerM3 } from './thermal-table.ts';
import { OBSERVATION_ONLY, placeOf, UNKNOWNS, type Unknown } from './unknowns.ts';

/** The posterior as kept in the state: centre, Cholesky factor of its precision, whom they are about. */
export interface Posterior {
  readonly active: readonly Unknown[];
  readonly centre: readonly number[];
  /** Row by row, n × n. */
  readonly lower: readonly number[];
  /** Posterior sd of each active unknown, in prior sds. */
  readonly sd: readonly number[];
  readonly meanSquare: number;
}

export interface RefitInput {
  readonly priors: Priors;
  readonly cells: Cells;
  readonly weighIns: readonly WeighIn[];
  /** Smallest step between two humidities read. */
  readonly rhStepPercent: number | undefined;
  /** Pack temperature before the run, °C. */
  readonly beforeC: number;
  readonly before: Posterior | null;
  readonly standard: Float64Array;
}

export interface RefitAnswer {
  readonly posterior: Posterior;
  readonly answers: DrawAnswers;
  readonly forcing: Forcing;
  readonly forecast: Forecast;
  readonly first: FirstAir;
  readonly bench: Workbench;
}

/**
 * Cold fits start from the prior and may have far to go; warm ones follow the data, mostly in one step. While the box warms
 * they need a second: left at one, a run and its like begun anew were 4 % apart.
 */
const COLD_ITERATIONS = 8;
const WARM_ITERATIONS = 3;
/** A warm fit rests here, in prior sds: a tenth of the narrowest posterior, and the next refit goes on from it. */
const WARM_SETTLED = 0.03;
const TOLERATED_MEAN_SQUARE = 1.5;

export function refit(input: RefitInput): RefitAnswer {
  const { priors, cells } = input;
  const bench = createWorkbench(priors);
  const forcing = buildForcing(cells, ASSUMED_ROOM_G_PER_M3, input.beforeC, reducedSaturationGPerM3);
  const first = firstAir(cells, forcing);
  const readings = layOutReadings(
    cells,
    forcing,
    input.weighIns,
    {
      rhStepPercent: input.rhStepPercent,
      companions: priors.setup.companions,
      paperReel: priors.setup.reel !== 'plastic',
    },
    reducedSaturationGPerM3,
  );
  const active = activeUnknowns(priors, readings.massCells.length > 1, readings.weighIns.length > 1);
  const n = active.length;
  const full = new Float64Array(UNKNOWNS.length);
  const spread = (z: Float64Array): Float64Array => {
    full.fill(0);
    for (let j = 0; j < n; j++) full[placeOf[active[j]!]] = z[j]!;
    return full;
  };
  const startWater = new Float64Array(1);
  const start = Float64Array.from(active, (name) => {
    const at = input.before?.active.indexOf(name) ?? -1;
    return at < 0 ? 0 : input.before!.centre[at]!;
  });
  const answer = fit(
    {
      parameters: n,
      residuals: countResiduals(readings),
      predictions: 3 * forcing.count + 1,
      observationOnly: active.map((name) => OBSERVATION_ONLY.includes(name)),
      simulate(z, predictions) {
        const unknowns = spread(z);
        simulateHistory(bench, unknowns, forcing, first, predictions);
        beginMember(bench, unknowns, forcing, first);
        predictions[3 * forcing.count] = waterG(bench.kernel, bench.member, bench.state);
      },
      reweigh(z, predictions) {
        beginMember(bench, spread(z), forcing, first);
        reweigh(readings, bench.start, predictions);
      },
      residualsOf(z, predictions, residuals) {
        const unknowns = spread(z);
        beginMember(bench, unknowns, forcing, first);
        startWater[0] = predictions[3 * forcing.count]!;
        fillResiduals(readings, forcing, bench.start, unknowns, predictions, startWater[0], residuals);
      },
    },
    start,
    {
      toleratedMeanSquare: TOLERATED_MEAN_SQUARE,
      ...(input.before === null
        ? { iterations: COLD_ITERATIONS }
        : { iterations: WARM_ITERATIONS, settled: WARM_SETTLED }),
    },
  );
  // A fit that failed says nothing: the draws are then the prior's.
  const failed = answer.outcome === 'failed';
  const centre = failed ? new Float64Array(n) : answer.z;
  const lower = failed ? identity(n) : answer.lower;
  const forecast = chooseForecast(cells, forcing, priors.setup.material.netSorptionEnthalpyKJPerMol);
  const answers = createDrawAnswers(forecast.pathS.length);
  const z = new Float64Array(UNKNOWNS.length);
  const coarse = coarsen(forcing);
  for (let draw = 0; draw < DRAWS; draw++) {
    drawUnknowns(active, centre, lower, input.standard, draw, z);
    runDraw(bench, z, coarse, first, forecast, priors.setup.limitWtPercent, input.standard, draw, answers);
  }
  const posterior: Posterior = {
    active,
    centre: Array.from(centre),
    lower: Array.from(lower),
    sd: Array.from(inverseDiagonal(lower, n), Math.sqrt),
    meanSquare: answer.meanSquare,
  };
  return { posterior, answers, forcing, forecast, first, bench };
}

function firstAir(cells: Cells, forcing: Forcing): FirstAir {
  const cell = cells.rhPercent.findIndex(hasValue);
  const near = cell >= 0 && cell < 5;
  return {
    airC: forcing.airC[near ? cell : 0]!,
    rhPercent: near ? cells.rhPercent[cell]! : Number.NaN,
  };
}

function identity(n: number): Float64Array {
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) matrix[i * n + i] = 1;
  return matrix;
}
