/** "When may I start?" asked of the bench as it stands. */
import type { Instant } from '../clock.ts';
import type { DryingSetup } from '../estimators/drying/priors.ts';
import type { DryingState } from '../estimators/drying/state.ts';
import { type ChamberAhead, chamberAhead } from '../estimators/soak/heat-up.ts';
import type { SoakSetup } from '../estimators/soak/priors.ts';
import type { SoakState } from '../estimators/soak/state.ts';
import { type StartChances, startChances } from '../estimators/start/chances.ts';
import {
  checkStart,
  type StartFinding,
  type StartReason,
  type StartRequest,
} from '../estimators/start/check.ts';
import { lookAhead, type SpoolAhead } from '../estimators/start/spool-ahead.ts';
import type { SteadyTime } from './steady-time.ts';

export interface StartAsk extends Omit<StartRequest, 'atMs' | 'takenG'> {
  readonly spool: string;
  /** Station; null: no chamber is waited for. */
  readonly chamber: string | null;
}

/** A finding, and whether the chamber heats; false: its time is that of a bed that comes on now. Null: none is waited for. */
export type StartTold = StartFinding & { readonly bedOn: boolean | null };

export type StartAnswer =
  | { readonly ok: true; readonly finding: StartTold }
  | {
      readonly ok: false;
      readonly reason: 'unknown-name' | 'no-estimate' | 'bad-value';
      readonly detail: string;
    };

export interface StartDesk {
  check(ask: StartAsk, at: Instant): StartAnswer;
  /** How likely the job is to come out well from each start of the next day. */
  chances(ask: StartAsk, at: Instant): ChancesAnswer;
}

type Refused = StartAnswer & { readonly ok: false };
export type ChancesAnswer = { readonly ok: true; readonly chances: StartChances } | Refused;

export interface Standings {
  spool(id: string): { readonly setup: DryingSetup; readonly state: DryingState } | null;
  chamber(id: string): { readonly setup: SoakSetup; readonly state: SoakState } | null;
  /** g that jobs took off a spool, with what a running one will take. */
  takenG(spool: string): number;
}

const NO_JOB: Refused = {
  ok: false,
  reason: 'bad-value',
  detail:
    'A job needs grams above 0 that the spool still holds, 0 to 240 hours, and a certainty of 0.5 to under 1.',
};

/** No unheated box is this warm, °C. */
const HEATED_C = 40;

/** Air of a box that is heated while no drying run has been recognised in it yet; null: it is not. */
const warmBoxC = (state: DryingState | null): number | null =>
  state?.phase === 'watching' && state.run === null && state.heardMs !== null && state.heardC >= HEATED_C
    ? state.heardC
    : null;

const tooEarly = (boxC: number): Refused => ({
  ok: false,
  reason: 'no-estimate',
  detail: `It is too early to say: the box is warm (${Math.round(boxC)} °C), and too little of it has been heard to tell how the spool dries in it.`,
});

interface Asked {
  readonly ok: true;
  readonly ahead: SpoolAhead;
  readonly chamber: ChamberAhead | null;
  readonly request: StartRequest;
}

/** Spools looked ahead of at a time; each is some 2 MB. */
const MOST_AHEAD = 2;

export function createStartDesk(steady: SteadyTime, standings: Standings): StartDesk {
  const looked = new Map<string, { readonly key: string; readonly ahead: SpoolAhead }>();

  /** Made once for each refit; between two, only grams, hours and the like change. */
  const aheadOf = (id: string, setup: DryingSetup, state: DryingState): SpoolAhead | string => {
    const key = `${state.run?.startMs ?? 'kept'} ${state.summaryMs} ${state.phase}`;
    const known = looked.get(id);
    if (known?.key === key) return known.ahead;
    const answer = lookAhead(setup, state);
    if (!answer.ok) return answer.detail;
    looked.delete(id);
    looked.set(id, { key, ahead: answer.ahead });
    if (looked.size > MOST_AHEAD) looked.delete(looked.keys().next().value as string);
    return answer.ahead;
  };

  /** What an ask rests on, or why there is none. */
  const askedOf = (ask: StartAsk, at: Instant): Asked | Refused => {
    const atMs = steady(at);
    const spool = standings.spool(ask.spool);
    if (!spool)
      return {
        ok: false,
        reason: 'unknown-name',
        detail: `No spool "${ask.spool}" has been heard of: is it in the bench file, and has its station spoken?`,
      };
    const chamber = ask.chamber === null ? null : standings.chamber(ask.chamber);
    if (ask.chamber !== null && !chamber)
      return {
        ok: false,
        reason: 'unknown-name',
        detail: `No chamber "${ask.chamber}" has been heard of: is it in the bench file, and has it spoken?`,
      };
    const ahead = aheadOf(ask.spool, spool.setup, spool.state);
    if (typeof ahead === 'string')
      return { ok: false, reason: 'no-estimate', detail: `It is too early to say: ${ahead}.` };
    return {
      ok: true,
      ahead,
      chamber: chamber && chamberAhead(chamber.setup, chamber.state, atMs),
      request: { ...ask, atMs, takenG: standings.takenG(ask.spool) },
    };
  };

  return {
    check(ask, at) {
      const asked = askedOf(ask, at);
      if (!asked.ok) return asked;
      const { ahead, chamber, request } = asked;
      const finding = checkStart(ahead, chamber, request);
      if (finding.outcome === 'bad-request') return NO_JOB;
      // Who has heated the box is not to be told to heat it.
      const warmC = warmBoxC(standings.spool(ask.spool)?.state ?? null);
      if (finding.outcome === 'spool-not-drying' && warmC !== null) return tooEarly(warmC);
      const bedOn = chamber && chamber.basis === 'heating';
      return { ok: true, finding: { ...shiftedFinding(finding, at.wallMs - request.atMs), bedOn } };
    },
    chances(ask, at) {
      const asked = askedOf(ask, at);
      if (!asked.ok) return asked;
      const { ahead, chamber, request } = asked;
      const found = startChances(ahead, chamber, request);
      if (!found) return NO_JOB;
      const shiftMs = at.wallMs - request.atMs;
      const chances = found.chances.map((one) => ({ ...one, atMs: one.atMs + shiftMs }));
      return { ok: true, chances: { ...found, chances } };
    },
  };
}

/** Steady time to the wall's. */
function shiftedFinding(finding: StartFinding, shiftMs: number): StartFinding {
  if (shiftMs === 0) return finding;
  const move = (ms: number | null): number | null => (ms === null ? null : ms + shiftMs);
  return {
    ...finding,
    earliestMs: move(finding.earliestMs),
    spoolReadyMs: move(finding.spoolReadyMs),
    chamberReadyMs: move(finding.chamberReadyMs),
    bedOnByMs: move(finding.bedOnByMs),
    reasons: finding.reasons.map(
      (reason): StartReason => ('atMs' in reason ? { ...reason, atMs: reason.atMs + shiftMs } : reason),
    ),
  };
}
