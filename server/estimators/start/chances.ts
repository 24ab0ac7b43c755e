/**
 * How likely a job is to come out well from each start within the next day, and on until it is as sure as was asked: every turn under the limit as it leaves, and the
 * chamber steady. Between two of the times the chance is read off a straight line.
 */
import type { ChamberAhead } from '../soak/heat-up.ts';
import { askedOf, feedAll, feedPlanOf, isAskable, type StartRequest, SURE } from './check.ts';
import type { SpoolAhead } from './spool-ahead.ts';

export interface StartChance {
  readonly atMs: number;
  /** P(every turn is under the limit as it leaves). */
  readonly pSpool: number;
  /** P(the chamber is steady by then); null without one. */
  readonly pChamber: number | null;
}

export interface StartChances {
  /** The chamber heats; false: its chances are those of a bed that comes on now. */
  readonly bedOn: boolean;
  readonly chances: readonly StartChance[];
}

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** As far as spools are looked ahead. */
const LONGEST_MS = 3 * DAY_MS;
const COARSE_MS = 2 * HOUR_MS;
const LATER_MS = 6 * HOUR_MS;
const FINE_MS = HOUR_MS / 2;
/** Halved further where neighbours differ by more. */
const APART = 0.1;

/** Null where it is no job, or the spool holds too little for it. */
export function startChances(
  spool: SpoolAhead,
  chamber: ChamberAhead | null,
  request: StartRequest,
): StartChances | null {
  const leftG = spool.setup.netMassG - (request.takenG ?? 0);
  if (!isAskable(request) || request.grams > leftG) return null;
  const plan = feedPlanOf(spool, request);
  const kept = spool.way === 'kept' ? feedAll(spool, 0, 0, plan).pUnder : null;
  const pSpool = (atMs: number): number => {
    if (kept !== null) return kept;
    const inS = Math.max(0, (atMs - spool.fromMs) / 1000);
    const place = Math.max(
      0,
      spool.startsS.findLastIndex((s) => s <= inS),
    );
    return feedAll(spool, place, inS - spool.startsS[place]!, plan).pUnder;
  };
  const chance = (atMs: number): StartChance => ({
    atMs,
    pSpool: pSpool(atMs),
    pChamber: chamber && steadyBy(chamber, atMs, request.atMs),
  });
  const between = (from: StartChance, to: StartChance): StartChance[] => {
    const middleMs = (from.atMs + to.atMs) / 2;
    const apart = Math.max(
      Math.abs(from.pSpool - to.pSpool),
      Math.abs((from.pChamber ?? 0) - (to.pChamber ?? 0)),
    );
    if (apart <= APART || middleMs - from.atMs < FINE_MS) return [];
    const middle = chance(middleMs);
    return [...between(from, middle), middle, ...between(middle, to)];
  };
  const chances = [chance(request.atMs)];
  const sure = askedOf(request.sure ?? SURE);
  for (let ms = COARSE_MS; ms <= LONGEST_MS; ms += ms < DAY_MS ? COARSE_MS : LATER_MS) {
    const before = chances.at(-1)!;
    if (ms > DAY_MS && (kept !== null || (before.pSpool >= sure && (before.pChamber ?? 1) >= sure))) break;
    const next = chance(request.atMs + ms);
    chances.push(...between(before, next), next);
  }
  return { bedOn: chamber === null || chamber.basis === 'heating', chances };
}

function steadyBy(chamber: ChamberAhead, atMs: number, askedMs: number): number {
  const fromMs = chamber.basis === 'heating' ? chamber.fromMs : askedMs;
  const byS = (atMs - fromMs) / 1000;
  return chamber.steadyInS.filter((s) => s <= byS).length / chamber.steadyInS.length;
}
