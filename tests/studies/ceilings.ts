/**
 * The ceilings study: chambers that head for 55 °C with PLA parts inside, and for 38 °C; when is a person warned?
 *
 * The target warns at once where it is known. Here it is not: only air and room are read, and the soak forecast must see the
 * crossing come. Crossings sooner than 45 min after the heat are left to the target.
 */
import { type Inside, judgeCeiling } from '../../server/estimators/ceilings.ts';
import { createSoakTracker } from '../../server/estimators/soak/tracker.ts';
import { drawChamberRun } from '../../simulators/chamber-draw.ts';
import { chamberSensors } from '../../simulators/chamber-sensors.ts';
import { sayMedian, sayShare } from './proportion.ts';

const HOT_C = 55;
const SAFE_C = 38;
/** Softening of PLA begins near 55 °C; the table's ceiling for its parts. */
const CEILING_C = 50;
const PLA: Inside = { things: ['pla'], userCeilingC: null, reel: null, sensorParts: [] };
const EVERY_S = 20;
const CHECK_S = 240;
const HOT_H = 8;
const SAFE_H = 3;
export const FORETOLD_S = 45 * 60;
export const LEAST_LEAD_S = 600;
/** Beds that people have. */
const BED_RANGE_C = [60, 130] as const;

export interface CeilingRow {
  readonly seed: number;
  readonly headingC: number;
  /** s after the heat came on; null: not in the run. */
  readonly crossedS: number | null;
  readonly warnedS: number | null;
  /** Warned (near, or near ahead) at one and two hours of heat. */
  readonly warnedAtHours: readonly boolean[];
}

/** The bed that brings a chamber to an end: nearly straight in between, so that two ends give it. Null: none that people have. */
function bedFor(seed: number, endC: number): number | null {
  const endWith = (bedTargetC: number): number => {
    const { truth, spec } = drawChamberRun({ seed, bedTargetC });
    truth.step(spec.bedOnS + EVERY_S);
    return truth.final().airC;
  };
  const [low, high] = [80, 110];
  const slope = (endWith(high) - endWith(low)) / (high - low);
  const bedC = high + (endC - endWith(high)) / slope;
  return bedC >= BED_RANGE_C[0] && bedC <= BED_RANGE_C[1] ? bedC : null;
}

export function runCeilingCase(seed: number, headingC: number): CeilingRow | null {
  const bedTargetC = bedFor(seed, headingC);
  if (bedTargetC === null) return null;
  const run = drawChamberRun({ seed, bedTargetC });
  const sensors = chamberSensors(run);
  const tracker = createSoakTracker({ station: 'rig', readyBandC: 1, readyDriftCPer10Min: 0.5 }, 0);
  const { bedOnS } = run.spec;
  const untilS = bedOnS + 3600 * (headingC > CEILING_C ? HOT_H : SAFE_H);
  const warnedAt: { readonly s: number; readonly warned: boolean }[] = [];
  let crossedS: number | null = null;
  for (let s = EVERY_S; s <= untilS && crossedS === null; s += EVERY_S) {
    const { t, roomT } = sensors.next(EVERY_S);
    tracker.observe({ atMs: s * 1000, airTemperatureC: t });
    tracker.observeRoom({ atMs: s * 1000, airTemperatureC: roomT });
    if (run.truth.airC >= CEILING_C) crossedS = s - bedOnS;
    if (s % CHECK_S !== 0) continue;
    const { finalAirC, forecast } = tracker.advance(s * 1000);
    const { outcome } = judgeCeiling(PLA, { airC: t, finalP95C: finalAirC?.p95 ?? null, path: forecast });
    warnedAt.push({ s: s - bedOnS, warned: outcome !== 'clear' });
  }
  const first = warnedAt.find(({ warned }) => warned);
  return {
    seed,
    headingC,
    crossedS,
    warnedS: first ? first.s : null,
    warnedAtHours: [3600, 7200].map((s) => warnedAt.find((at) => at.s >= s)?.warned === true),
  };
}

/** Rows whose crossing the forecast must see come, and of those how long before it came the warning, s; null: none came. */
export const leadsOf = (rows: readonly CeilingRow[]): (number | null)[] =>
  rows.flatMap(({ crossedS, warnedS }) =>
    crossedS === null || crossedS < FORETOLD_S ? [] : [warnedS === null ? null : crossedS - warnedS],
  );

/** Seeds from 10,400 on judge. */
export const CEILINGS_STUDY = {
  name: 'ceilings',
  seeds: Array.from({ length: 200 }, (_, i) => 10_800 + i),
  run: (seed: number): CeilingRow[] =>
    [HOT_C, SAFE_C].flatMap((headingC) => runCeilingCase(seed, headingC) ?? []),
  table(rows: readonly CeilingRow[]): string {
    const hot = rows.filter(({ headingC }) => headingC === HOT_C);
    const safe = rows.filter(({ headingC }) => headingC === SAFE_C);
    const leads = leadsOf(hot);
    const inTime = leads.filter((lead) => lead !== null && lead >= LEAST_LEAD_S).length;
    return [
      `heading for ${HOT_C} °C: ${hot.length} runs, ${leads.length} cross ${CEILING_C} °C ${FORETOLD_S / 60} min after the heat or later`,
      `  warned at least ${LEAST_LEAD_S / 60} min before (target all): ${sayShare(inTime, leads.length)}`,
      `  warned before it by ${sayMedian(
        leads.map((lead) => (lead ?? 0) / 60),
        0,
        'min',
      )}`,
      `heading for ${SAFE_C} °C: ${safe.length} runs`,
      ...[1, 2].map(
        (hours, k) =>
          `  warned all the same at ${hours} h: ${sayShare(safe.filter(({ warnedAtHours }) => warnedAtHours[k]).length, safe.length)}`,
      ),
    ].join('\n');
  },
};
