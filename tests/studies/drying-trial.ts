/** A recorded drying run, watched by trackers that know the same or less, and what each said of it. */
import type { DryingSetup } from '../../server/estimators/drying/priors.ts';
import { createDryingTracker, type DryingEstimate } from '../../server/estimators/drying/tracker.ts';
import { findMaterial, type Material, type MaterialOverrides } from '../../server/physics/materials.ts';
import {
  CHECK_S,
  type DryingCase,
  type DryingRecord,
  HEAT_S,
  judgeRules,
  type Moment,
  type RecordOptions,
  recordRun,
} from './drying-record.ts';

/** What a tracker is given and what it believes. */
export interface Way {
  readonly name: string;
  readonly humidity: boolean;
  readonly mass: boolean;
  readonly room: boolean;
  /** Hours between weigh-ins on a kitchen scale, from heat-on; null: none. */
  readonly weighedEveryH: number | null;
  readonly overrides: (material: Material) => MaterialOverrides;
}

const plain = () => ({});
/** The table holds a fifth too little … */
export const WRONG_TABLE = 0.8;
/** … and dries half as fast again as the truth's centre. */
const wrong = (m: { diffusivityM2PerS: number }) => ({
  isothermScale: WRONG_TABLE,
  diffusivityM2PerS: 1.5 * m.diffusivityM2PerS,
});
const way = (
  name: string,
  humidity: boolean,
  mass: boolean,
  overrides: Way['overrides'] = plain,
  room = true,
  weighedEveryH: number | null = null,
) => ({
  name,
  humidity,
  mass,
  room,
  weighedEveryH,
  overrides,
});
/** The whole scatter between sources, where the estimator takes two thirds of it. */
const wide = (m: { diffusivitySigmaLn: number }) => ({ diffusivitySigmaLn: 1.54 * m.diffusivitySigmaLn });
export const WAYS: readonly Way[] = [
  way('T/RH', true, false),
  way('mass', true, true),
  way('prior only', false, false),
  way('T/RH, wrong table', true, false, wrong),
  way('mass, wrong table', true, true, wrong),
  way('T/RH, wide sd of ln D', true, false, wide),
  way('T/RH, no room sensor', true, false, plain, false),
  way('T/RH, weighed every 4 h', true, false, plain, true, 4),
];

/** Where on the way from heat-on to dry an estimate is looked at. */
export const SHARES = [0.25, 0.5, 0.75, 1] as const;

/** Three quantiles over the truth, so that 1 is right. */
export type Ratio = readonly [p05: number, p50: number, p95: number];

export interface Checkpoint {
  /** Share of the way from heat-on to dry (or to the end). */
  readonly share: number;
  readonly mean: Ratio;
  readonly wettest: Ratio;
  readonly truthOverLimit: number;
  readonly pDry: number;
  /** Grams ready: p05 of the estimate and the truth, over the net mass. */
  readonly ready: readonly [number, number];
  /** dry-at: quantiles less the check's time, over the true time left; null beyond or never, or no truth. */
  readonly dryAt: readonly [number | null, number | null, number | null] | null;
}

export interface TrialRow {
  readonly seed: number;
  readonly case: string;
  readonly way: string;
  /** Hours from heat-on to dry; null where the run ended before. */
  readonly dryH: number | null;
  readonly hours: number;
  readonly checks: readonly Checkpoint[];
  /** Called dry, h from heat-on, and truth over limit then. */
  readonly calledH: number | null;
  readonly calledTruth: number | null;
  /** Two hours in: pNever and the true floor over the limit. */
  readonly never: readonly [pNever: number, floorOverLimit: number] | null;
  /** Truth over limit when a rule would have said dry: by fixed hours, by RH below X for 30 min. */
  readonly rules: Readonly<Record<string, number | null>>;
}

const START_MS = Date.UTC(2026, 0, 5, 6, 0, 0);

export interface TrialOptions extends RecordOptions {
  readonly ways: readonly Way[];
}

export function runTrial(which: DryingCase, seed: number, options: TrialOptions): TrialRow[] {
  const record = recordRun(which, seed, options);
  return options.ways.map((given) => watchRecord(record, given));
}

export function setupOf(record: DryingRecord, given: Way): DryingSetup {
  const { stated } = record;
  const table = findMaterial(stated.material);
  if (!table.ok) throw new Error(table.detail);
  const found = findMaterial(stated.material, 0, given.overrides(table.material));
  if (!found.ok) throw new Error(found.detail);
  return {
    station: 'box',
    spool: 'judged',
    material: found.material,
    limitWtPercent: stated.limitWtPercent,
    netMassG: stated.netMassG,
    diameterMm: stated.diameterMm,
    reel: stated.reel,
    reelMassG: stated.reelMassG,
    stored: stated.stored,
    storedRhPercent: null,
    role: 'drybox',
    airVolumeL: null,
    airSupply: null,
    companions: 0,
    rhTolerancePercent: 1.8,
    temperatureToleranceC: 0.2,
  };
}

export function watchRecord(record: DryingRecord, given: Way): TrialRow {
  const { readings, moments, dryS } = record;
  const tracker = createDryingTracker(setupOf(record, given), START_MS);
  const limit = record.stated.limitWtPercent;
  const spanS = (dryS ?? moments[moments.length - 1]!.s) - HEAT_S;
  const marks = SHARES.map((share) => ({
    share,
    s: Math.round((HEAT_S + share * spanS) / CHECK_S) * CHECK_S,
  }));
  const checks: Checkpoint[] = [];
  let calledH: number | null = null;
  let calledTruth: number | null = null;
  let never: TrialRow['never'] = null;
  for (const reading of readings) {
    const atMs = START_MS + 1000 * reading.elapsedS;
    const s = Math.round(reading.elapsedS);
    if (given.room)
      tracker.observeRoom({ atMs, airTemperatureC: reading.roomT, relativeHumidityPercent: reading.roomRh });
    tracker.observeBox({
      atMs,
      airTemperatureC: reading.t,
      relativeHumidityPercent: given.humidity ? reading.rh : null,
      massG: given.mass ? reading.m : null,
      cellTemperatureC: given.mass ? reading.tm : null,
    });
    if (s % CHECK_S !== 0) continue;
    const hoursHot = (s - HEAT_S) / 3600;
    if (given.weighedEveryH !== null && hoursHot >= 0 && hoursHot % given.weighedEveryH === 0)
      tracker.event({
        kind: 'weigh-in',
        atMs,
        massG: Math.round(moments[s / CHECK_S - 1]!.scaleG),
        resolutionG: 1,
      });
    const estimate = tracker.advance(atMs + 1);
    const truth = moments[s / CHECK_S - 1]!;
    for (const mark of marks) if (mark.s === s) checks.push(checkpoint(mark.share, estimate, truth, record));
    if (calledH === null && estimate.dryCalledMs !== null) {
      calledH = (s - HEAT_S) / 3600;
      calledTruth = truth.mean / limit;
    }
    if (s === HEAT_S + 7200) never = [estimate.pNever, truth.floor / limit];
    // All that is asked of this tracker has been answered.
    if (calledH !== null && s >= marks[3]!.s && s >= HEAT_S + 7200) break;
  }
  const hours = (moments[moments.length - 1]!.s - HEAT_S) / 3600;
  return {
    seed: record.seed,
    case: record.which.name,
    way: given.name,
    dryH: dryS === null ? null : (dryS - HEAT_S) / 3600,
    hours,
    checks,
    calledH,
    calledTruth,
    never,
    rules: judgeRules(record),
  };
}

function checkpoint(
  share: number,
  estimate: DryingEstimate,
  truth: Moment,
  record: DryingRecord,
): Checkpoint {
  const { stated, dryMassG, dryS } = record;
  const { s } = truth;
  const limit = stated.limitWtPercent;
  const over = (q: { p05: number; p50: number; p95: number }, by: number): Ratio => [
    q.p05 / by,
    q.p50 / by,
    q.p95 / by,
  ];
  const left = dryS === null ? 0 : dryS - s;
  const ahead = (ms: number | null): number | null =>
    ms === null ? null : ((ms - START_MS) / 1000 - s) / left;
  const { p05, p50, p95 } = estimate.dryAtMs;
  return {
    share,
    mean: over(estimate.moistureWtPercent, truth.mean),
    wettest: over(estimate.wettestTurnWtPercent, truth.wettest),
    truthOverLimit: truth.mean / limit,
    pDry: estimate.pDry,
    ready: [estimate.readyOuterG.p05 / stated.netMassG, truth.readyG / dryMassG],
    dryAt: left > 0 ? [ahead(p05), ahead(p50), ahead(p95)] : null,
  };
}
