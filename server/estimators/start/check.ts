/**
 * When may the job start? The first time at which every fed turn is under the limit as it leaves the spool, and the chamber is
 * steady, each with the wanted probability; with what decides, by when the bed must be on, and what starting now would cost.
 */
import { DRAWS } from '../drying/draws.ts';
import { BEYOND, type Quantiles, quantilesOf, sortedQuantile } from '../drying/quantiles.ts';
import type { ChamberAhead } from '../soak/heat-up.ts';
import { type FeedPlan, feedDraw } from './feed.ts';
import { purgeOf, type Tube } from './purge.ts';
import type { SpoolAhead } from './spool-ahead.ts';

export const SURE = 0.9;
/** A chamber that will end further from its target than this is no chamber for the job, °C (judgement). */
const TARGET_BAND_C = 5;
/** Box air during a job: the material's usual less this, at most 60 °C (judgement: a box that stands open to the printer). */
const JOB_BELOW_USUAL_C = 15;
const JOB_HIGHEST_C = 60;
/** Between two looked-at starts, times are tried in tenths of an hour. */
const FINE_S = 360;
const DAY_S = 86_400;

export interface StartRequest {
  readonly atMs: number;
  readonly grams: number;
  readonly hours: number;
  readonly sure?: number;
  /** Air wanted in the chamber, °C; null: whatever it settles at. */
  readonly chamberC: number | null;
  /** Box air during the job, °C; null: the material's usual − 15, at most 60. */
  readonly boxC: number | null;
  readonly exitOpen: boolean;
  /** g that jobs took off the spool since its mass was stated: the outermost are gone. */
  readonly takenG?: number;
  readonly tube: Tube | null;
}

export type StartOutcome =
  | 'start-now'
  | 'start-later'
  | 'spool-never'
  | 'spool-beyond'
  | 'spool-not-drying'
  | 'chamber-beyond'
  | 'chamber-off-target'
  | 'not-enough-filament'
  | 'bad-request';

/** One link of the chain of reasons, as data: a page or a command puts it into words. */
export type StartReason =
  | { readonly kind: 'spool-ready' | 'chamber-ready'; readonly atMs: number; readonly probability: number }
  | {
      readonly kind: 'decides';
      readonly what: 'spool' | 'chamber' | 'neither';
      readonly otherEarlierMin: number | null;
    }
  | { readonly kind: 'bed-on-by'; readonly atMs: number; readonly basis: ChamberAhead['basis'] }
  | { readonly kind: 'no-chamber' }
  /** The check begins so far in. */
  | { readonly kind: 'filament-taken'; readonly takenG: number }
  /** Nobody said how warm the box is during the job: taken to be cooler than it is now. */
  | { readonly kind: 'box-assumed'; readonly assumedC: number; readonly presentC: number }
  | { readonly kind: 'spool-short'; readonly hasG: number; readonly needsG: number }
  | { readonly kind: 'chamber-ends-at'; readonly finalAirC: Quantiles; readonly targetC: number }
  | { readonly kind: 'probability-at-last'; readonly probability: number };

export interface StartNow {
  readonly pSpool: number;
  /** Null without a chamber. */
  readonly pChamber: number | null;
  readonly tooWetG: Quantiles;
  /** g that leave before the first that is too wet; all where none is. */
  readonly underG: Quantiles;
  readonly wettestWtPercent: Quantiles;
  /** g in an undried tube to be thrown away first; 0: none. */
  readonly purgeG: number;
}

export interface StartFinding {
  readonly outcome: StartOutcome;
  readonly earliestMs: number | null;
  readonly spoolReadyMs: number | null;
  readonly chamberReadyMs: number | null;
  readonly hoursToSpool: number | null;
  readonly hoursToChamber: number | null;
  /** Latest time to switch the bed on; null where it is on, or there is no chamber, or no start. */
  readonly bedOnByMs: number | null;
  readonly ifNow: StartNow | null;
  readonly reasons: readonly StartReason[];
}

const nothing = (outcome: StartOutcome, reasons: readonly StartReason[]): StartFinding => ({
  outcome,
  earliestMs: null,
  spoolReadyMs: null,
  chamberReadyMs: null,
  hoursToSpool: null,
  hoursToChamber: null,
  bedOnByMs: null,
  ifNow: null,
  reasons,
});

/** Whether it is a job at all. */
export function isAskable({ grams, hours, sure = SURE }: StartRequest): boolean {
  return grams > 0 && hours > 0 && hours <= 240 && sure >= 0.5 && sure < 1;
}

export function feedPlanOf(spool: SpoolAhead, request: StartRequest): FeedPlan {
  const usualC = Math.min(JOB_HIGHEST_C, spool.setup.material.usualDryingC - JOB_BELOW_USUAL_C);
  return {
    grams: request.grams,
    hours: request.hours,
    takenG: request.takenG ?? 0,
    boxC: request.boxC ?? Math.min(spool.boxC, usualC),
    exitOpen: request.exitOpen,
  };
}

export function checkStart(
  spool: SpoolAhead,
  chamber: ChamberAhead | null,
  request: StartRequest,
): StartFinding {
  const { grams, atMs } = request;
  const sure = request.sure ?? SURE;
  if (!isAskable(request)) return nothing('bad-request', []);
  const { setup } = spool;
  const takenG = request.takenG ?? 0;
  const taken: readonly StartReason[] = takenG > 0 ? [{ kind: 'filament-taken', takenG }] : [];
  const hasG = Math.max(0, setup.netMassG - takenG);
  if (grams > hasG)
    return nothing('not-enough-filament', [{ kind: 'spool-short', hasG, needsG: grams }, ...taken]);
  const plan = feedPlanOf(spool, request);
  const now = feedAll(spool, 0, 0, plan);
  const ifNow: StartNow = {
    pSpool: now.pUnder,
    pChamber: chamber ? chamberProbability(chamber, atMs) : null,
    tooWetG: quantilesOf(now.tooWetG),
    underG: quantilesOf(now.underG),
    wettestWtPercent: quantilesOf(now.wettest),
    purgeG: purgeOf(spool.setup, request.tube),
  };
  const reasons: StartReason[] = [...taken, ...boxAssumed(spool, request, plan)];
  const ready = spoolReady(spool, plan, askedOf(sure), now.pUnder);
  const spoolReadyMs = ready.inS === null ? null : Math.max(atMs, spool.fromMs + 1000 * ready.inS);
  const chamberInMs = chamber === null ? atMs : chamberReady(chamber, sure);
  if (chamber === null) reasons.push({ kind: 'no-chamber' });
  const offTarget = chamber ? missesTarget(chamber, request.chamberC) : null;
  const hoursTo = (ms: number | null): number | null =>
    ms === null ? null : Math.max(0, ms - atMs) / 3600_000;
  const chamberReadyMs = chamberInMs === null ? null : Math.max(atMs, chamberInMs);
  const known = {
    spoolReadyMs,
    chamberReadyMs: chamber === null ? null : chamberReadyMs,
    hoursToSpool: hoursTo(spoolReadyMs),
    hoursToChamber: chamber === null ? null : hoursTo(chamberReadyMs),
    ifNow,
  };
  if (spoolReadyMs === null)
    return {
      ...nothing(ready.outcome, [
        ...reasons,
        { kind: 'probability-at-last', probability: ready.probability },
      ]),
      ...known,
    };
  reasons.push({ kind: 'spool-ready', atMs: spoolReadyMs, probability: ready.probability });
  if (offTarget) return { ...nothing('chamber-off-target', [...reasons, offTarget]), ...known };
  if (chamberReadyMs === null) return { ...nothing('chamber-beyond', reasons), ...known };
  if (chamber) reasons.push({ kind: 'chamber-ready', atMs: chamberReadyMs, probability: sure });
  const earliestMs = Math.max(spoolReadyMs, chamberReadyMs);
  const apartMin = (spoolReadyMs - chamberReadyMs) / 60_000;
  const what =
    earliestMs <= atMs || chamber === null
      ? spoolReadyMs > atMs
        ? 'spool'
        : 'neither'
      : apartMin > 0
        ? 'spool'
        : 'chamber';
  reasons.push({
    kind: 'decides',
    what,
    otherEarlierMin: what === 'neither' || chamber === null ? null : Math.abs(apartMin),
  });
  // A bed that is off may come on so much later as the chamber would wait for the spool.
  const bedOnByMs = chamber && chamber.basis !== 'heating' ? atMs + (earliestMs - chamberReadyMs) : null;
  if (bedOnByMs !== null) reasons.push({ kind: 'bed-on-by', atMs: bedOnByMs, basis: chamber!.basis });
  return {
    outcome: earliestMs <= atMs ? 'start-now' : 'start-later',
    earliestMs,
    ...known,
    bedOnByMs,
    reasons,
  };
}

/** Nothing where the box was named, is as cool as that anyway, or dries nothing. */
function boxAssumed(spool: SpoolAhead, { boxC }: StartRequest, plan: FeedPlan): readonly StartReason[] {
  if (boxC !== null || plan.boxC === null || spool.way === 'kept') return [];
  const [assumedC, presentC] = [plan.boxC, spool.boxC];
  return Math.round(assumedC) < Math.round(presentC) ? [{ kind: 'box-assumed', assumedC, presentC }] : [];
}

interface FedAll {
  readonly pUnder: number;
  readonly wettest: Float64Array;
  readonly tooWetG: Float64Array;
  readonly underG: Float64Array;
}

/**
 * The chance that the truth is under where so many draws are: it is one more of their kind, and may be the worst of all. Counted
 * as a plain share, starts said to be sure to 0.9 and 0.95 held in 88 and 92 % of 650 runs.
 */
const chanceOf = (under: number): number => under / (DRAWS + 1);
const SUREST = chanceOf(DRAWS);

/** As sure as so many draws can be at most: asked for more, all of them must be under. */
export const askedOf = (sure: number): number => Math.min(sure, SUREST);

/** Every draw's job from one start. */
export function feedAll(spool: SpoolAhead, place: number, extraS: number, plan: FeedPlan): FedAll {
  const wettest = new Float64Array(DRAWS);
  const tooWetG = new Float64Array(DRAWS);
  const underG = new Float64Array(DRAWS);
  const limit = spool.setup.limitWtPercent;
  let under = 0;
  for (let d = 0; d < DRAWS; d++) {
    const fed = feedDraw(spool, place, extraS, d, plan, limit);
    wettest[d] = fed.wettestWtPercent;
    tooWetG[d] = fed.tooWetG;
    underG[d] = fed.underG;
    if (fed.wettestWtPercent <= limit) under++;
  }
  return { pUnder: chanceOf(under), wettest, tooWetG, underG };
}

type SpoolReady = {
  readonly inS: number | null;
  readonly outcome: StartOutcome;
  readonly probability: number;
};

/** The first start that is sure enough: by halves over the looked-at starts, then in tenths of an hour. */
function spoolReady(spool: SpoolAhead, plan: FeedPlan, sure: number, pNow: number): SpoolReady {
  if (pNow >= sure) return { inS: 0, outcome: 'start-now', probability: pNow };
  if (spool.way === 'kept') return { inS: null, outcome: 'spool-not-drying', probability: pNow };
  const { startsS } = spool;
  let low = 0;
  let high = startsS.length - 1;
  const last = feedAll(spool, high, 0, plan).pUnder;
  if (last < sure) {
    // No better in the last day than before it: it will not be.
    const dayBefore = feedAll(
      spool,
      Math.max(
        0,
        startsS.findLastIndex((s) => s <= startsS[high]! - DAY_S),
      ),
      0,
      plan,
    ).pUnder;
    return {
      inS: null,
      outcome: last - dayBefore < 0.02 ? 'spool-never' : 'spool-beyond',
      probability: last,
    };
  }
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (feedAll(spool, middle, 0, plan).pUnder >= sure) high = middle;
    else low = middle;
  }
  const spanS = startsS[high]! - startsS[low]!;
  for (let extraS = FINE_S; extraS < spanS && spanS <= 1800; extraS += FINE_S) {
    const probability = feedAll(spool, low, extraS, plan).pUnder;
    if (probability >= sure) return { inS: startsS[low]! + extraS, outcome: 'start-later', probability };
  }
  return { inS: startsS[high]!, outcome: 'start-later', probability: feedAll(spool, high, 0, plan).pUnder };
}

function chamberReady(chamber: ChamberAhead, sure: number): number | null {
  const sorted = Float64Array.from(chamber.steadyInS).sort();
  const inS = sortedQuantile(sorted, sure);
  return inS >= BEYOND / 2 ? null : chamber.fromMs + 1000 * inS;
}

function chamberProbability(chamber: ChamberAhead, atMs: number): number {
  if (chamber.basis !== 'heating') return 0;
  const byS = (atMs - chamber.fromMs) / 1000;
  return chamber.steadyInS.filter((s) => s <= byS).length / chamber.steadyInS.length;
}

function missesTarget(chamber: ChamberAhead, targetC: number | null): StartReason | null {
  if (targetC === null || chamber.finalAirC === null) return null;
  const near = chamber.finalAirC.filter((airC) => Math.abs(airC - targetC) <= TARGET_BAND_C).length;
  if (near >= 0.5 * chamber.finalAirC.length) return null;
  return { kind: 'chamber-ends-at', finalAirC: quantilesOf(Float64Array.from(chamber.finalAirC)), targetC };
}
