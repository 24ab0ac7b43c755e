/** One simulated drying run on record: what its sensors read, the truth beside it, and what rules of thumb make of it. */
import { type DryingOverrides, drawDryingRun, type StatedSpool } from '../../simulators/drying-draw.ts';
import { type DryingReading, dryingSensors } from '../../simulators/drying-sensors.ts';
import type { Polymer } from '../../simulators/polymer-draw.ts';
import type { MaterialKey } from '../../simulators/polymers.ts';

export interface DryingCase {
  readonly name: string;
  readonly material: MaterialKey;
  readonly setTemperatureC: number;
  /** Fixed times that a table would print, h. */
  readonly fixedH: readonly number[];
}

export const DRYING_CASES: readonly DryingCase[] = [
  { name: 'pa6 70', material: 'pa6', setTemperatureC: 70, fixedH: [12, 24] },
  { name: 'pa6 85', material: 'pa6', setTemperatureC: 85, fixedH: [8, 12] },
  { name: 'pa12 80', material: 'pa12', setTemperatureC: 80, fixedH: [6, 8] },
  { name: 'pc 90', material: 'pc', setTemperatureC: 90, fixedH: [4, 6] },
  { name: 'petg 65', material: 'petg', setTemperatureC: 65, fixedH: [4, 6] },
];

export interface Moment {
  readonly s: number;
  readonly mean: number;
  readonly wettest: number;
  readonly floor: number;
  readonly readyG: number;
  /** Spool with its reel on a perfect scale, g. */
  readonly scaleG: number;
}

export interface DryingRecord {
  readonly seed: number;
  readonly which: DryingCase;
  readonly stated: StatedSpool;
  readonly dryMassG: number;
  /** For what judges beside the estimator; no tracker is told. */
  readonly polymer: Polymer;
  readonly readings: readonly DryingReading[];
  /** Every CHECK_S. */
  readonly moments: readonly Moment[];
  /** First moment under the limit, s; null where the run ended before. */
  readonly dryS: number | null;
}

export const HEAT_S = 600;
export const READ_S = 10;
export const CHECK_S = 600;
/**
 * A run is watched so much longer than it takes to dry, where it lasts that long: calls later than that count as never. Stopped
 * sooner, the study would leave out calls that are late and right, and the false ones would seem more frequent than they are.
 */
const WATCHED = 2.6;
/** … and for so long at the least, s. */
const WATCHED_LEAST_S = 8 * 3600;

export interface RecordOptions {
  readonly truth?: DryingOverrides;
  /** Stop here at the latest, h. */
  readonly longestH?: number;
}

export function recordRun(which: DryingCase, seed: number, options: RecordOptions = {}): DryingRecord {
  const { material, setTemperatureC } = which;
  const run = drawDryingRun({ ...options.truth, material, setTemperatureC, seed });
  const { truth, limitWtPercent } = run;
  const sensors = dryingSensors(run);
  const readings: DryingReading[] = [];
  const moments: Moment[] = [];
  let dryS: number | null = null;
  let stopS = Math.min(run.durationS, 3600 * (options.longestH ?? 1e9));
  for (let s = READ_S; s <= stopS; s += READ_S) {
    readings.push(sensors.next(READ_S));
    if (s % CHECK_S !== 0) continue;
    const mean = truth.meanWtPercent();
    moments.push({
      s,
      mean,
      wettest: truth.wettestTurnWtPercent(),
      floor: truth.floorWtPercent(),
      readyG: truth.outerGUnder(limitWtPercent),
      scaleG: truth.scaleG(),
    });
    if (dryS !== null || s <= HEAT_S || mean >= limitWtPercent) continue;
    dryS = s;
    stopS = Math.min(stopS, HEAT_S + Math.max(WATCHED_LEAST_S, WATCHED * (s - HEAT_S)));
  }
  return {
    seed,
    which,
    stated: run.stated,
    dryMassG: truth.dryMassG,
    polymer: run.spec.polymer,
    readings,
    moments,
    dryS,
  };
}

/** What rules of thumb would have done on the same run: truth over limit at the time they say dry. */
export function judgeRules(record: DryingRecord): Record<string, number | null> {
  const { which, readings, moments, stated } = record;
  const truthAt = (s: number): number | null => {
    const moment = moments[Math.ceil(s / CHECK_S) - 1];
    return moment ? moment.mean / stated.limitWtPercent : null;
  };
  const rules: Record<string, number | null> = {};
  which.fixedH.forEach((h, i) => {
    rules[i === 0 ? 'shorter fixed time' : 'longer fixed time'] = truthAt(HEAT_S + 3600 * h);
  });
  for (const percent of [10, 5]) {
    let below = 0;
    const found = readings.find((reading) => {
      below = reading.elapsedS > HEAT_S && reading.rh < percent ? below + READ_S : 0;
      return below >= 1800;
    });
    rules[`RH < ${percent} % for 30 min`] = found ? truthAt(found.elapsedS) : null;
  }
  return rules;
}
