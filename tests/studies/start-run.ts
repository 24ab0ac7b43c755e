/** One start check of a study: a spool dries, the check is asked, and the truth is run on past the stated time. */
import { normalQuantile } from '../../server/estimators/drying/normal.ts';
import type { DryingSetup } from '../../server/estimators/drying/priors.ts';
import { createDryingTracker } from '../../server/estimators/drying/tracker.ts';
import { checkStart, type StartFinding } from '../../server/estimators/start/check.ts';
import { lookAhead, type SpoolAhead } from '../../server/estimators/start/spool-ahead.ts';
import { findMaterial } from '../../server/physics/materials.ts';
import { type DryingRun, drawDryingRun } from '../../simulators/drying-draw.ts';
import { dryingSensors } from '../../simulators/drying-sensors.ts';
import type { MaterialKey } from '../../simulators/polymers.ts';
import { seededRandom } from '../../simulators/random.ts';
import { type OracleView, oracleView } from './isotherm-spread.ts';

const CASES: readonly {
  readonly material: MaterialKey;
  readonly setTemperatureC: number;
  /** Asked at the latest this long after the heat came on, and followed this long, h. */
  readonly latestH: number;
  readonly followH: number;
}[] = [
  { material: 'pa6', setTemperatureC: 85, latestH: 8, followH: 40 },
  { material: 'pa12', setTemperatureC: 80, latestH: 5, followH: 24 },
  { material: 'pc', setTemperatureC: 90, latestH: 3, followH: 14 },
  { material: 'petg', setTemperatureC: 65, latestH: 4, followH: 28 },
];
const EVERY_S = 60;
const TRUTH_EVERY_S = 900;
/** No start stated beyond this is waited for. */
const LONGEST_WAIT_H = 48;
export const SURES = [0.9, 0.95] as const;

/** Turn means of the truth, hub to outside, at a time of the story. */
export interface Profile {
  readonly s: number;
  readonly wtPercent: readonly number[];
}

export interface StartCase {
  readonly seed: number;
  readonly material: string;
  readonly limitWtPercent: number;
  readonly heatAtS: number;
  readonly askedS: number;
  readonly grams: number;
  readonly hours: number;
  /** Asked once, at each of SURES. */
  readonly findings: readonly StartFinding[];
  /** Asked again every half hour: when it first said that the job may start now, s of the story; null: not in time. */
  readonly followedS: readonly (number | null)[];
  readonly ahead: SpoolAhead;
  /** Dry mass of the truth's shells, g, hub to outside. */
  readonly shellG: readonly number[];
  readonly profiles: readonly Profile[];
  readonly oracle: OracleView;
}

export function setupOf(run: DryingRun): DryingSetup {
  const found = findMaterial(run.stated.material);
  if (!found.ok) throw new RangeError(found.detail);
  return {
    station: 'box',
    spool: 'gear',
    material: found.material,
    limitWtPercent: run.limitWtPercent,
    netMassG: run.stated.netMassG,
    diameterMm: run.stated.diameterMm,
    reel: run.stated.reel,
    reelMassG: run.stated.reelMassG,
    stored: run.stated.stored,
    storedRhPercent: null,
    role: 'drybox',
    airVolumeL: null,
    airSupply: null,
    companions: 0,
    rhTolerancePercent: 1.8,
    temperatureToleranceC: 0.2,
  };
}

export function runStartCase(seed: number, { follow = true }: { readonly follow?: boolean } = {}): StartCase {
  const random = seededRandom(seed).fork('start');
  const { material, setTemperatureC, latestH, followH } = CASES[seed % CASES.length]!;
  const run = drawDryingRun({ material, setTemperatureC, seed, durationH: 12 });
  const sensors = dryingSensors(run);
  const setup = setupOf(run);
  const tracker = createDryingTracker(setup, 0);
  const { heatAtS } = run.spec.heat;
  const askedS =
    TRUTH_EVERY_S * Math.round((heatAtS + 3600 * random.uniform(0.3 * latestH, latestH)) / TRUTH_EVERY_S);
  const grams = random.uniform(0.05, 0.9) * run.stated.netMassG;
  const hours = (grams / 1000) * random.logUniform(15, 60);
  const profiles: Profile[] = [];
  const advanceTo = (untilS: number): void => {
    for (let s = run.truth.elapsedS + EVERY_S; s <= untilS; s += EVERY_S) {
      const { t, rh, roomT, roomRh } = sensors.next(EVERY_S);
      tracker.observeBox({ atMs: s * 1000, airTemperatureC: t, relativeHumidityPercent: rh });
      tracker.observeRoom({ atMs: s * 1000, airTemperatureC: roomT, relativeHumidityPercent: roomRh });
      if (s % TRUTH_EVERY_S === 0) profiles.push({ s, wtPercent: Array.from(run.truth.shellWtPercent()) });
    }
    tracker.advance(untilS * 1000);
  };
  const ask = (sure: number, ahead: SpoolAhead, atS: number): StartFinding =>
    checkStart(ahead, null, {
      atMs: atS * 1000,
      grams,
      hours,
      sure,
      chamberC: null,
      boxC: ahead.boxC,
      exitOpen: false,
      tube: null,
    });
  const look = (startsS?: readonly number[]): SpoolAhead => {
    const looked = lookAhead(setup, tracker.save(), startsS);
    if (!looked.ok) throw new RangeError(looked.detail);
    return looked.ahead;
  };

  advanceTo(askedS);
  const ahead = look();
  const findings = SURES.map((sure) => ask(sure, ahead, askedS));
  const followedS: (number | null)[] = findings.map(({ outcome }) =>
    outcome === 'start-now' ? askedS : null,
  );
  for (
    let s = askedS + 1800;
    follow && s <= heatAtS + 3600 * followH && followedS.includes(null);
    s += 1800
  ) {
    advanceTo(s);
    const now = look([0]);
    SURES.forEach((sure, k) => {
      if (followedS[k] === null && ask(sure, now, s).outcome === 'start-now') followedS[k] = s;
    });
  }
  // As long for every spool, whatever was stated: a start that none foresaw is still found.
  const untilS = Math.max(run.truth.elapsedS, askedS + 3600 * LONGEST_WAIT_H) + 3600 * hours + TRUTH_EVERY_S;
  while (run.truth.elapsedS < untilS) {
    run.truth.step(TRUTH_EVERY_S);
    profiles.push({ s: run.truth.elapsedS, wtPercent: Array.from(run.truth.shellWtPercent()) });
  }
  return {
    seed,
    material,
    limitWtPercent: run.limitWtPercent,
    heatAtS,
    askedS,
    grams,
    hours,
    findings,
    followedS,
    ahead,
    shellG: Array.from(run.truth.shellDryMassG),
    profiles,
    oracle: oracleView(material, setTemperatureC, run.spec.polymer),
  };
}

/** The wettest turn of the truth as it leaves, job started at a time, wt %; fed from the outside in, shell by shell. */
export function trulyWettest(run: StartCase, startS: number): number {
  const first = run.profiles[0]!.s;
  let wettest = 0;
  let fedG = 0;
  for (let i = run.shellG.length - 1; i >= 0 && fedG < run.grams; i--) {
    // A shell leaves from when the ones outside it are gone until it is gone itself; it only gets drier meanwhile.
    const s = startS + 3600 * run.hours * (fedG / run.grams);
    const place = Math.min(run.profiles.length - 1, Math.max(0, (s - first) / TRUTH_EVERY_S));
    const from = run.profiles[Math.floor(place)]!.wtPercent[i]!;
    const to = run.profiles[Math.ceil(place)]!.wtPercent[i]!;
    wettest = Math.max(wettest, from + (place - Math.floor(place)) * (to - from));
    fedG += run.shellG[i]!;
  }
  return wettest;
}

/** First time from the heat on at which the job would truly have gone well; null: not within what was run. */
export const firstTrueS = (run: StartCase): number | null => firstUnderS(run, run.heatAtS, 1);

/** The start that the oracle (isotherm-spread.ts) would state, as sure as asked for; null: not within what was run. */
export const oracleStartS = (run: StartCase, sure: number): number | null =>
  firstUnderS(run, run.askedS, run.oracle.factor * Math.exp(normalQuantile(sure) * run.oracle.sdLn));

function firstUnderS(run: StartCase, fromS: number, factor: number): number | null {
  const lastS = run.profiles[run.profiles.length - 1]!.s - 3600 * run.hours;
  for (let s = fromS; s <= lastS; s += 300) if (factor * trulyWettest(run, s) <= run.limitWtPercent) return s;
  return null;
}
