/** One heat-up of a study: the simulated chamber's readings to trackers, truth beside every refit. */
import type { SoakEstimate } from '../../server/estimators/soak/estimate.ts';
import { createSoakTracker, type SoakTracker } from '../../server/estimators/soak/tracker.ts';
import { type ChamberKind, chamberCase, drawChamberRun } from '../../simulators/chamber-draw.ts';
import { chamberSensors } from '../../simulators/chamber-sensors.ts';
import type { ChamberTruth } from '../../simulators/chamber-truth.ts';

export const WAYS = ['air', 'air+room', 'air+room+bed+part'] as const;
export type Way = (typeof WAYS)[number];

export const BAND_C = 1;
const DRIFT = 0.5;
const CHECK_S = 240;
const EVERY_S = 20;
const PLAIN_H = 12;
/** Once all ways have called it steady, this much longer shows whether they keep their word. */
const KEPT_S = 2 * 3600;
/** Judged until this long after the heat went off. */
const AFTER_OFF_S = 5 * 3600;

/** Air and parts at which a chamber may be opened, as the estimator's rule states it. */
const OPEN_BELOW_C = 45;
const OPEN_SPREAD_C = 10;
const mayBeOpened = ({ airC, panelC, frameC, partC }: ChamberTruth): boolean =>
  airC < OPEN_BELOW_C && Math.max(panelC, frameC, partC) - airC <= OPEN_SPREAD_C;

export interface Truth {
  readonly s: number;
  readonly airC: number;
  readonly finalC: number;
  readonly frameLagC: number;
  readonly doorOpen: boolean;
  readonly heatOn: boolean;
}

export interface Seen {
  readonly s: number;
  readonly estimate: SoakEstimate;
}

export interface SoakCase {
  readonly seed: number;
  readonly kind: ChamberKind;
  readonly heatOnS: number;
  /** Time of the fan's start or the heat's end, s; null: neither. */
  readonly eventS: number | null;
  /** When, after the heat went off, the chamber may first be opened and stays so, s, to a reading; null: not in the run, or heat on. */
  readonly opensS: number | null;
  readonly truth: readonly Truth[];
  /** Air as its sensor says it, means of the checks' four minutes. */
  readonly measuredC: readonly number[];
  /** Empty for ways not asked for. */
  readonly seen: Readonly<Record<Way, readonly Seen[]>>;
}

/** Half of the runs plain, the rest with doors, a fan or the heat switched off. */
export const kindOf = (seed: number): ChamberKind =>
  (['plain', 'doors', 'fan', 'off', 'plain', 'doors', 'fan', 'off', 'plain', 'doors'] as const)[seed % 10]!;

export function runSoakCase(
  seed: number,
  kind: ChamberKind = kindOf(seed),
  { hours = PLAIN_H, ways = WAYS }: { readonly hours?: number; readonly ways?: readonly Way[] } = {},
): SoakCase {
  const wanted = chamberCase(seed, kind);
  const run = drawChamberRun(wanted);
  const sensors = chamberSensors(run);
  const { spec, truth } = run;
  const off = Number.isFinite(spec.bedOffS);
  const stopS = off ? spec.bedOffS + AFTER_OFF_S : hours * 3600;
  const trackers = Object.fromEntries(
    WAYS.map((way) => [
      way,
      createSoakTracker({ station: 'rig', readyBandC: BAND_C, readyDriftCPer10Min: DRIFT }, 0),
    ]),
  ) as Record<Way, SoakTracker>;
  const seen = Object.fromEntries(WAYS.map((way) => [way, [] as Seen[]])) as Record<Way, Seen[]>;
  const truths: Truth[] = [];
  const measuredC: number[] = [];
  let sum = 0;
  let calledS: number | null = null;
  let shutS = 0;
  for (let s = EVERY_S; s <= stopS && (off || s < (calledS ?? stopS) + KEPT_S); s += EVERY_S) {
    const reading = sensors.next(EVERY_S);
    sum += reading.t;
    if (off && (s < spec.bedOffS || !mayBeOpened(truth))) shutS = s;
    for (const way of ways) {
      const bed =
        way === 'air+room+bed+part' ? { bedTemperatureC: reading.tb, surfaceTemperatureC: reading.ts } : {};
      trackers[way].observe({ atMs: s * 1000, airTemperatureC: reading.t, ...bed });
      if (way !== 'air') trackers[way].observeRoom({ atMs: s * 1000, airTemperatureC: reading.roomT });
    }
    if (s % CHECK_S !== 0) continue;
    const end = truth.final();
    truths.push({
      s,
      airC: truth.airC,
      finalC: end.airC,
      frameLagC: end.frameC - truth.frameC,
      doorOpen: truth.doorOpen,
      heatOn: s >= spec.bedOnS && s < spec.bedOffS,
    });
    measuredC.push((sum * EVERY_S) / CHECK_S);
    sum = 0;
    for (const way of ways) seen[way].push({ s, estimate: trackers[way].advance(s * 1000) });
    const fanToCome = (spec.fan?.atS ?? 0) + CHECK_S * 5 > s;
    if (fanToCome || ways.some((way) => seen[way][seen[way].length - 1]!.estimate.state !== 'steady'))
      calledS = null;
    else calledS ??= s;
  }
  return {
    seed,
    kind,
    heatOnS: spec.bedOnS,
    eventS: spec.fan?.atS ?? (off ? spec.bedOffS : null),
    opensS: off && shutS < stopS - EVERY_S ? shutS + EVERY_S : null,
    truth: truths,
    measuredC,
    seen,
  };
}
