/** The tracker's state as an answer: what is shown, kept and written to a capture's records. */
import type { Quantiles, TimeReason } from '../drying/quantiles.ts';
import { SETTLING_BLOCKS } from './decision.ts';
import type { SoakSetup } from './priors.ts';
import { blocksSinceChange } from './run-change.ts';
import { openingOf } from './run-frame.ts';
import type { SoakRun, SoakState } from './state.ts';
import { type SoakPosteriorRow, saySoakAssumptions, soakPosteriorRows } from './words.ts';

export const SOAK_STATES = ['cold', 'climbing', 'steady', 'disturbed', 'cooling', 'unknown'] as const;
export type SoakStateName = (typeof SOAK_STATES)[number];

export interface SoakTimesMs {
  readonly p05: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
}
export type SoakTimeReasons = {
  readonly p05?: TimeReason;
  readonly p50?: TimeReason;
  readonly p95?: TimeReason;
};

export interface SoakEstimate {
  readonly atMs: number;
  readonly station: string;
  readonly state: SoakStateName;
  /** Air as last heard, °C; null before the first. */
  readonly airC: number | null;
  /** Null without a heat-up. While it cools: where it ends with the heat off. */
  readonly finalAirC: Quantiles | null;
  readonly steadyAtMs: SoakTimesMs;
  readonly steadyAtReason: SoakTimeReasons;
  /** Least-squares slope of the last 20 min; null while too little was measured. */
  readonly driftCPer10Min: number | null;
  /** The frame: how far it still is from where it ends, °C; null without a heat-up. */
  readonly frameLagC: Quantiles | null;
  /** The frame, °C: the mean over the draws; null without a heat-up. */
  readonly frameC: number | null;
  readonly pSteady: number;
  readonly pFrameSoaked: number;
  /** Since when it is called steady; null while it is not. */
  readonly steadySinceMs: number | null;
  readonly heatOnMs: number | null;
  /** A door is seen or said to be open. */
  readonly doorOpen: boolean;
  /** When the chamber may be opened after the heat went off; null with 'no-run' while it is on or was not. */
  readonly openAtMs: SoakTimesMs;
  readonly openAtReason: SoakTimeReasons;
  /** Time that the numbers were fitted for. */
  readonly fittedMs: number | null;
  /** At most 49 points. */
  readonly forecast: readonly ({ readonly atMs: number } & Quantiles)[];
  readonly posterior: readonly SoakPosteriorRow[];
  readonly assumptions: readonly string[];
  readonly notes: readonly string[];
}

/** Quiet for this long and the state is unknown. */
const QUIET_MS = 600_000;
const NO_TIMES: { readonly times: SoakTimesMs; readonly reason: SoakTimeReasons } = {
  times: { p05: null, p50: null, p95: null },
  reason: { p05: 'no-run', p50: 'no-run', p95: 'no-run' },
};

export function describeSoak(setup: SoakSetup, state: SoakState, atMs: number): SoakEstimate {
  const { run } = state;
  const summary = run?.summary ?? null;
  const name = nameSoakState(state, atMs);
  const on = run !== null && run.offBlock === null;
  const steady = on && summary ? timesFrom(run!, summary.steadyInS) : NO_TIMES;
  const opening = run !== null && !on && summary ? timesFrom(run, summary.openInS) : NO_TIMES;
  const opened = run?.openSinceMs ?? null;
  return {
    atMs,
    station: setup.station,
    state: name,
    airC: state.heardMs === null ? null : state.heardC,
    finalAirC: summary?.finalAirC ?? null,
    steadyAtMs: steady.times,
    steadyAtReason: steady.reason,
    driftCPer10Min: run?.slopeCPer10Min ?? null,
    frameLagC: summary?.frameLagC ?? null,
    frameC: summary?.frameC ?? null,
    pSteady: on && summary ? summary.pSteady : 0,
    pFrameSoaked: on && summary ? summary.pFrameSoaked : 0,
    steadySinceMs: run?.steadySinceMs ?? null,
    heatOnMs: run?.heatOnMs ?? null,
    doorOpen: state.door.openSinceS !== null,
    openAtMs: opened === null ? opening.times : { p05: opened, p50: opened, p95: opened },
    openAtReason: opened === null ? opening.reason : {},
    fittedMs: summary ? run!.summaryMs : null,
    forecast: summary
      ? summary.path.map(({ aheadS, airC }) => ({ atMs: run!.summaryMs + 1000 * aheadS, ...airC }))
      : [],
    posterior: run ? soakPosteriorRows(run) : [],
    assumptions: saySoakAssumptions(setup, run, openingOf(setup, state).surfaceC !== null),
    notes: sayNotes(name, run),
  };
}

type TimeQ = NonNullable<SoakRun['summary']>['steadyInS'];

function timesFrom(run: SoakRun, inS: TimeQ): { times: SoakTimesMs; reason: SoakTimeReasons } {
  const ms = (s: number | null): number | null => (s === null ? null : run.summaryMs + 1000 * s);
  return { times: { p05: ms(inS.p05), p50: ms(inS.p50), p95: ms(inS.p95) }, reason: inS.reason };
}

function nameSoakState(state: SoakState, atMs: number): SoakStateName {
  if (state.heardMs === null || atMs - state.heardMs > QUIET_MS) return 'unknown';
  const { run } = state;
  if (!run) return 'cold';
  if (run.offBlock !== null) return 'cooling';
  const masked = run.blocks.masked[run.blocks.masked.length - 1] === 1;
  if (state.door.openSinceS !== null || masked || run.straying || blocksSinceChange(run) < SETTLING_BLOCKS)
    return 'disturbed';
  return run.steadySinceMs !== null ? 'steady' : 'climbing';
}

function sayNotes(name: SoakStateName, run: SoakRun | null): string[] {
  const said: string[] = [];
  if (name === 'disturbed') said.push('A door, fan or vent has moved the air: steady is judged anew.');
  if (run?.summary && name === 'steady' && run.summary.pFrameSoaked < 0.9)
    said.push(
      `The air is steady; the frame still warms by about ${run.summary.frameLagC.p50.toFixed(0)} °C.`,
    );
  return said;
}
