/**
 * A load cell under known masses: what it says of nothing, what it says of a gram, and how both move with the cell's
 * temperature. Said = zero + zeroPerK · d + M · (span + spanPerK · d), d being the cell's temperature over the reference.
 */
import { fitLinear, type LinearFit, varianceAt } from './least-squares.ts';

export interface ScaleReading {
  readonly atMs: number;
  readonly saidG: number;
  /** Null where the cell has no probe. */
  readonly cellC: number | null;
}

export interface ScaleRun {
  /** What lay on the scale. */
  readonly massG: number;
  readonly readings: readonly ScaleReading[];
}

export type ScaleCheck =
  | {
      readonly ok: true;
      readonly zeroG: number;
      readonly zeroGPerK: number;
      readonly span: number;
      readonly spanPerK: number;
      readonly referenceC: number;
      /** Of the cell over all runs; null where no temperature was said. */
      readonly cellRangeC: readonly [low: number, high: number] | null;
      /** Whether the runs were warm and cold enough to see the temperature's part. */
      readonly seesTemperature: boolean;
      /** Scatter of the five-minute means about the fit, g. */
      readonly residualG: number;
      /** Two standard uncertainties of a corrected mass at a cell temperature. */
      uncertaintyG(massG: number, cellC: number): number;
    }
  | { readonly ok: false; readonly detail: string };

/** Means over so long are about independent of each other: creep and draughts are slower than the noise. */
const BLOCK_MS = 5 * 60_000;
/** The first of each run is left out: a cell creeps for a while after it was loaded. */
const CREEP_MS = 10 * 60_000;
const LEAST_BLOCKS = 3;
/** Below this a slope would be made of noise: judgement. */
const LEAST_RANGE_K = 5;
const LEAST_APART_G = 50;
/** Of the masses' difference; cells of the usual class keep to a tenth of it: judgement. */
const MOST_SCATTER = 0.01;

interface Block {
  readonly massG: number;
  readonly saidG: number;
  readonly cellC: number | null;
}

function blocksOf({ massG, readings }: ScaleRun): readonly Block[] {
  const startMs = (readings[0]?.atMs ?? 0) + CREEP_MS;
  const groups = new Map<number, ScaleReading[]>();
  for (const reading of readings) {
    if (reading.atMs < startMs) continue;
    const block = Math.floor((reading.atMs - startMs) / BLOCK_MS);
    groups.set(block, [...(groups.get(block) ?? []), reading]);
  }
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, one) => sum + one, 0) / values.length;
  return [...groups.values()].map((group) => {
    const cells = group.flatMap(({ cellC }) => (cellC === null ? [] : [cellC]));
    return {
      massG,
      saidG: mean(group.map(({ saidG }) => saidG)),
      cellC: cells.length === 0 ? null : mean(cells),
    };
  });
}

const rangeOf = (values: readonly number[]): readonly [number, number] => [
  Math.min(...values),
  Math.max(...values),
];

export function checkScale(runs: readonly ScaleRun[]): ScaleCheck {
  const byRun = runs.map(blocksOf);
  for (const [i, blocks] of byRun.entries())
    if (blocks.length < LEAST_BLOCKS)
      return {
        ok: false,
        detail: `The run with ${runs[i]?.massG} g is too short: after its first 10 minutes, in which the cell creeps, it needs 15 more.`,
      };
  const [lightest, heaviest] = rangeOf(runs.map(({ massG }) => massG));
  if (heaviest - lightest < LEAST_APART_G)
    return { ok: false, detail: 'Give two runs with masses at least 50 g apart, one of them best empty.' };
  const blocks = byRun.flat();
  const ofRuns = byRun.map((one) => one.flatMap(({ cellC }) => (cellC === null ? [] : [cellC])));
  const cells = ofRuns.flat();
  const hasCell = cells.length === blocks.length;
  const seesTemperature =
    hasCell && ofRuns.every((one) => rangeOf(one)[1] - rangeOf(one)[0] >= LEAST_RANGE_K);
  const referenceC = hasCell ? Math.round(cells.reduce((sum, one) => sum + one, 0) / cells.length) : 25;
  const x = (massG: number, cellC: number): number[] => {
    const warmerK = cellC - referenceC;
    const kg = massG / 1000;
    return seesTemperature ? [1, kg, warmerK, kg * warmerK] : [1, kg];
  };
  const fit = fitLinear(
    blocks.map(({ massG, saidG, cellC }) => ({ x: x(massG, cellC ?? referenceC), y: saidG })),
  );
  if (!fit) return { ok: false, detail: 'The runs do not determine zero and span.' };
  const [zeroG = 0, gPerKg = 0, zeroGPerK = 0, gPerKgK = 0] = fit.coefficients;
  if (!(gPerKg > 0))
    return {
      ok: false,
      detail:
        'More mass makes it say less: the cell is wired the other way round, or the runs are exchanged.',
    };
  const span = gPerKg / 1000;
  if (fit.residual > MOST_SCATTER * span * (heaviest - lightest))
    return {
      ok: false,
      detail: `The readings scatter by ${fit.residual.toFixed(1)} g about any such rule: something was moved during a run, or a wrong mass was given.`,
    };
  return {
    ok: true,
    zeroG,
    zeroGPerK,
    span,
    spanPerK: gPerKgK / 1000,
    referenceC,
    cellRangeC: hasCell ? rangeOf(cells) : null,
    seesTemperature,
    residualG: fit.residual,
    uncertaintyG: (massG, cellC) => uncertaintyOf(fit, x(massG, cellC), span),
  };
}

/** Of the constants and of a single five-minute mean. */
const uncertaintyOf = (fit: LinearFit, x: readonly number[], span: number): number =>
  (2 * Math.sqrt(varianceAt(fit, x) + fit.residual ** 2)) / span;
