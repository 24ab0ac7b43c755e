/** The tracker's state as an answer: what is shown, kept and written to a capture's records. */
import { DRY_AT } from './decision.ts';
import { hasValue } from './history.ts';
import type { DryingSetup } from './priors.ts';
import type { Quantiles, TimeQuantiles, TimeReason } from './quantiles.ts';
import type { DryingState, RunState } from './state.ts';
import type { Summary } from './summary.ts';
import { type PosteriorRow, posteriorRows, sayAssumptions, sayNotes, saySharpening } from './words.ts';

export const DRYING_STATES = [
  'idle',
  'warming',
  'drying',
  'levelling',
  'dry',
  'regaining',
  'holding',
  'unknown',
] as const;
export type DryingStateName = (typeof DRYING_STATES)[number];

export interface TimesMs {
  readonly p05: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
}
export type TimeReasons = { readonly p05?: TimeReason; readonly p50?: TimeReason; readonly p95?: TimeReason };

export interface DryingEstimate {
  readonly atMs: number;
  readonly station: string;
  readonly spool: string;
  readonly state: DryingStateName;
  readonly limitWtPercent: number;
  /** Mean of the spool, wt % of dry polymer. */
  readonly moistureWtPercent: Quantiles;
  readonly wettestTurnWtPercent: Quantiles;
  /** Grams from the outside in whose every turn is under the limit. */
  readonly readyOuterG: Quantiles;
  readonly dryAtMs: TimesMs;
  readonly dryAtReason: TimeReasons;
  readonly dryThroughAtMs: TimesMs;
  readonly dryThroughAtReason: TimeReasons;
  readonly floorWtPercent: Quantiles | null;
  readonly pDry: number;
  readonly pNever: number;
  /** Since when it has been called dry; null while it is not. */
  readonly dryCalledMs: number | null;
  /** Start of the drying run; null without one. */
  readonly runStartMs: number | null;
  /** Time that the numbers were fitted for; they are carried on along the forecast since. */
  readonly fittedMs: number;
  /** Shells of equal depth from hub to outside. */
  readonly profileWtPercent: readonly Quantiles[];
  readonly forecast: readonly ({ readonly atMs: number } & Quantiles)[];
  readonly posterior: readonly PosteriorRow[];
  readonly assumptions: readonly string[];
  readonly sharpen: readonly string[];
  readonly notes: readonly string[];
}

/** No unheated box is this warm, °C. */
const HEATED_C = 40;
/** Quiet for this long and the state is unknown. */
const QUIET_MS = 600_000;
/** Hub colder than the box by this: still warming through. */
const CORE_LAG_C = 8;
/** Less than this share of the moisture to come off in two hours: levelling. */
const LEVEL_SHARE = 0.05;
const NO_RUN: TimeQuantiles = {
  p05: null,
  p50: null,
  p95: null,
  reason: { p05: 'no-run', p50: 'no-run', p95: 'no-run' },
};

export function describe(setup: DryingSetup, state: DryingState, atMs: number): DryingEstimate {
  const summary = state.summary!;
  const { run } = state;
  const aheadS = Math.max(0, (atMs - state.summaryMs) / 1000);
  const moisture = alongPath(summary, aheadS);
  const moved = moisture.p50 / summary.mean.p50;
  const name = nameState(state, summary, atMs);
  const fitted = run !== null && run.posterior !== null;
  const dryAt = fitted ? summary.dryAtS : NO_RUN;
  const through = fitted ? summary.dryThroughAtS : NO_RUN;
  const scaled = (q: Quantiles): Quantiles => ({
    p05: q.p05 * moved,
    p50: q.p50 * moved,
    p95: q.p95 * moved,
  });
  const inGrams = (q: Quantiles): Quantiles => ({
    p05: q.p05 * setup.netMassG,
    p50: q.p50 * setup.netMassG,
    p95: q.p95 * setup.netMassG,
  });
  const ready = inGrams(summary.readyShare);
  const startMs = run?.startMs ?? 0;
  const inMs = (times: TimeQuantiles): TimesMs => ({
    p05: times.p05 === null ? null : startMs + 1000 * times.p05,
    p50: times.p50 === null ? null : startMs + 1000 * times.p50,
    p95: times.p95 === null ? null : startMs + 1000 * times.p95,
  });
  return {
    atMs,
    station: setup.station,
    spool: setup.spool,
    state: name,
    limitWtPercent: setup.limitWtPercent,
    moistureWtPercent: moisture,
    wettestTurnWtPercent: scaled(summary.wettest),
    readyOuterG: ready,
    dryAtMs: inMs(dryAt),
    dryAtReason: dryAt.reason,
    dryThroughAtMs: inMs(through),
    dryThroughAtReason: through.reason,
    floorWtPercent: summary.floor,
    pDry: summary.pDry,
    pNever: summary.pNever,
    dryCalledMs: run?.dryCalledS == null ? null : startMs + 1000 * run.dryCalledS,
    runStartMs: run?.startMs ?? null,
    fittedMs: state.summaryMs,
    profileWtPercent: summary.profile.map(scaled),
    forecast: summary.path.map((point) => ({ atMs: state.summaryMs + 1000 * point.aheadS, ...point.mean })),
    posterior: posteriorRows(setup, state),
    assumptions: sayAssumptions(setup, state),
    sharpen: saySharpening(setup, state, summary),
    notes: sayNotes(setup, name, ready, summary),
  };
}

/** The band at a time since the fit: along the forecast's path, straight lines in ln. */
function alongPath(summary: Summary, aheadS: number): Quantiles {
  const { path } = summary;
  let i = 1;
  while (i < path.length - 1 && path[i]!.aheadS < aheadS) i++;
  const from = path[i - 1]!;
  const to = path[i]!;
  const part = Math.min(1, Math.max(0, (aheadS - from.aheadS) / (to.aheadS - from.aheadS)));
  const between = (a: number, b: number): number => a * (Math.max(1e-9, b) / a) ** part;
  return {
    p05: between(from.mean.p05, to.mean.p05),
    p50: between(from.mean.p50, to.mean.p50),
    p95: between(from.mean.p95, to.mean.p95),
  };
}

function nameState(state: DryingState, summary: Summary, atMs: number): DryingStateName {
  if (state.phase === 'out' || state.phase === 'bagged') return 'idle';
  if (state.heardMs === null || atMs - state.heardMs > QUIET_MS) return 'unknown';
  const run = state.run;
  // Before the run is recognised a hot box is already no place to keep a spool.
  if (!run) return state.heardC >= HEATED_C ? 'warming' : 'holding';
  const ahead = summary.path.find((point) => point.aheadS >= 7200)!.mean.p50 / summary.mean.p50;
  if (run.coolSinceS !== null) {
    if (ahead > 1.005) return 'regaining';
    return run.dryCalledS !== null && summary.pDry >= DRY_AT ? 'dry' : 'holding';
  }
  if (run.dryCalledS !== null) return 'dry';
  const airC = run.history.cells.airC.findLast(hasValue) ?? state.heardC;
  if (run.posterior === null || isWarming(run, summary, airC)) return 'warming';
  return ahead > 1 - LEVEL_SHARE ? 'levelling' : 'drying';
}

const isWarming = (run: RunState, summary: Summary, airC: number): boolean =>
  airC >= run.hottestC - 3 && summary.coreC < airC - CORE_LAG_C;
