/** What stations, spools, chambers and jobs are known to be, as the facts that alarms and news are judged on. */
import { type AirWatch, hourMedianC, lastNearMs } from '../alerts/air-watch.ts';
import {
  type DryingFact,
  type JobFacts,
  type Known,
  known,
  type MissingReason,
  missing,
  type SoakFact,
  type SpoolFacts,
  type StationFacts,
} from '../alerts/facts.ts';
import type { StationConfig } from '../config/bench.ts';
import type { DryingEstimate } from '../estimators/drying/estimate.ts';
import type { Job } from '../estimators/jobs/job.ts';
import type { SoakEstimate } from '../estimators/soak/estimate.ts';
import type { StationView } from '../intake/station.ts';
import type { CeilingView } from './station-ceilings.ts';
import type { WaitingJob } from './waiting-desk.ts';

export interface StationKnowledge {
  readonly config: StationConfig;
  readonly view: StationView;
  readonly source: string | null;
  readonly everHeard: boolean;
  readonly watch: AirWatch | null;
  readonly ceiling: CeilingView | null;
  readonly soak: SoakEstimate | null;
  readonly roomAirC: number | null;
  readonly steadyMs: number;
  /** Wall time less steady time. */
  readonly shiftMs: number;
}

/** Runs are named by their steady start, so that a clock that is set does not make them new ones. */
const runName = (startMs: number | null, shiftMs: number): string | null =>
  startMs === null ? null : String(Math.round(startMs - shiftMs));

/** Newest air that may be used; null where it was never heard, is quiet, faulty or has none. */
export function airOf(view: StationView): Known<number> {
  const why = silenceOf(view);
  if (why !== null) return missing(why);
  if (view.flagged.includes('t') || view.faults['t'] !== undefined) return missing('fault');
  const airC = view.values['t'];
  return airC === undefined ? missing('not-yet') : known(airC);
}

const silenceOf = ({ quiet, heardMs }: StationView): MissingReason | null =>
  quiet ? 'quiet' : heardMs === null ? 'not-yet' : null;

export function stationFacts(of: StationKnowledge): StationFacts {
  const { config, view, watch, steadyMs, shiftMs } = of;
  const airC = airOf(view);
  const silent = silenceOf(view);
  const medianC = watch ? hourMedianC(watch, steadyMs) : null;
  const nearMs = watch && medianC !== null ? lastNearMs(watch, medianC) : null;
  const opening = watch?.opening ?? null;
  return {
    id: config.id,
    role: config.role,
    source: of.source,
    everHeard: of.everHeard,
    heardMs: view.heardMs,
    quiet: view.quiet,
    faultyKeys:
      silent !== null ? missing(silent) : known([...new Set([...view.flagged, ...Object.keys(view.faults)])]),
    airC,
    hourMedianC: medianC === null ? missing('not-yet') : known(medianC),
    coolingSinceMs: nearMs === null ? null : nearMs + shiftMs,
    opening:
      airC.kind === 'missing'
        ? airC
        : known(opening && { sinceMs: opening.sinceMs + shiftMs, beforeC: opening.beforeC }),
    dewPointC: dewPointOf(view, airC),
    coldestSurfaceC: coldestOf(view, airC, of.roomAirC),
    ceiling: ceilingOf(of, airC),
    soak: config.role === 'chamber' ? soakOf(of, airC) : null,
  };
}

function dewPointOf(view: StationView, airC: Known<number>): StationFacts['dewPointC'] {
  if (airC.kind === 'missing') return airC;
  if (view.flagged.includes('rh') || view.faults['rh'] !== undefined) return missing('fault');
  const band = view.air?.dewPointBand;
  return band ? known({ lowC: band.lowC, highC: band.highC }) : null;
}

/** A measured surface, the air itself, or the room behind the wall of what is not heated. */
function coldestOf(view: StationView, airC: Known<number>, roomAirC: number | null): Known<number> {
  if (airC.kind === 'missing') return airC;
  const surface = view.flagged.includes('ts') ? undefined : view.values['ts'];
  const unheated = airC.value < (roomAirC ?? Number.NEGATIVE_INFINITY) + 3;
  return known(
    Math.min(airC.value, surface ?? airC.value, unheated && roomAirC !== null ? roomAirC : airC.value),
  );
}

function ceilingOf({ ceiling, soak }: StationKnowledge, airC: Known<number>): StationFacts['ceiling'] {
  if (ceiling === null) return null;
  if (airC.kind === 'missing') return airC;
  const { outcome, ceilingC, reason, crossesAtMs } = ceiling;
  return known({
    outcome,
    airC: airC.value,
    ceilingC,
    reason,
    finalAirC: soak?.state === 'cooling' ? null : (soak?.finalAirC ?? null),
    crossesAtMs,
  });
}

function soakOf({ config, soak, shiftMs }: StationKnowledge, airC: Known<number>): Known<SoakFact> {
  if (airC.kind === 'missing') return airC;
  if (soak === null) return missing('not-yet');
  const { p05, p50, p95 } = soak.openAtMs;
  // Past and certain: it was measured.
  const openSinceMs = p50 !== null && p05 === p95 && p50 <= soak.atMs ? p50 : null;
  return known({
    state: soak.state,
    run: runName(soak.heatOnMs, shiftMs),
    airC: airC.value,
    finalAirC: soak.finalAirC,
    driftCPer10Min: soak.driftCPer10Min,
    driftLimitCPer10Min: config.readyDriftCPer10Min,
    steadySinceMs: soak.steadySinceMs,
    openSinceMs,
  });
}

export function spoolFacts(
  spool: { readonly id: string; readonly station: string; readonly netMassG: number },
  estimate: DryingEstimate | null,
  outSinceMs: number | null,
  shiftMs: number,
): SpoolFacts {
  return {
    id: spool.id,
    station: spool.station,
    outSinceMs,
    drying: estimate === null ? missing('not-yet') : known(dryingFact(estimate, spool.netMassG, shiftMs)),
  };
}

const dryingFact = (estimate: DryingEstimate, netMassG: number, shiftMs: number): DryingFact => ({
  state: estimate.state,
  run: runName(estimate.runStartMs, shiftMs),
  limitWtPercent: estimate.limitWtPercent,
  moistureWtPercent: estimate.moistureWtPercent,
  wettestTurnWtPercent: estimate.wettestTurnWtPercent,
  readyOuterG: estimate.readyOuterG,
  netMassG,
  floorWtPercent: estimate.floorWtPercent,
  pDry: estimate.pDry,
  pNever: estimate.pNever,
  dryCalledMs: estimate.dryCalledMs,
});

/** Of jobs that wait: whether they may start. */
export const waitingFacts = (waiting: readonly WaitingJob[]): JobFacts[] =>
  waiting.map(({ plan, mayStart }) => ({
    id: plan.id,
    name: plan.name === '' ? plan.id : plan.name,
    chamber: plan.chamber,
    spool: plan.spool,
    phase: 'planned',
    mayStart: mayStart === null ? missing('not-yet') : known(mayStart),
    excursions: known([]),
  }));

/** Jobs that have ended ask for nothing. */
export const jobFacts = (jobs: readonly Job[]): JobFacts[] =>
  jobs
    .filter(({ state }) => state !== 'ended')
    .map(({ plan, excursions }) => ({
      id: plan.id,
      name: plan.name === '' ? plan.id : plan.name,
      chamber: plan.chamber,
      spool: plan.spool,
      phase: 'running',
      mayStart: missing('not-yet'),
      excursions: known(
        excursions
          .filter(({ toMs }) => toMs === null)
          .map(({ kind, fromMs, worst, limit, unit }) => ({
            what: kind,
            sinceMs: fromMs,
            worst,
            limit,
            unit,
          })),
      ),
    }));
