/**
 * The answer about a spool and a chamber together. What is in the way leads: never before not yet, not yet before what
 * can be printed. Without a job being asked about nothing says "start": the grams that can be printed now are said. Pure.
 */

import type { SpoolState } from '../server/api/messages.ts';
import { airNow, type ChamberFacts, chamberSentence, standingOf, steadyWhen } from './chamber-answer.ts';
import { dryWhen } from './dry-when.ts';
import { moisture, moistureRange } from './format.ts';
import type { Piece } from './pieces.ts';
import { type SpoolAnswer, type SpoolFacts, spoolAnswer } from './spool-answer.ts';
import { countedOnG, grams, isAllCountedOn } from './usable.ts';
import { JOINT } from './words/running.ts';
import { SPOOL } from './words/spool.ts';

/** Fewer grams that can be counted on are no news: hardly a job needs no more (judgement). */
const LEAST_PRINTABLE_G = 50;
/** P(under the limit) from which a kept spool is called under it. */
const SURE = 0.9;
const MINUTE = 60_000;

const percent = (value: number): string => SPOOL.percent(moisture(value));

/** Nothing is drying any more, though a run was begun: the box is cool. */
const heatLost = ({ spool: { drying } }: SpoolFacts): boolean =>
  drying.runStartMs !== null &&
  drying.dryCalledMs === null &&
  (drying.state === 'regaining' || drying.state === 'holding');

/** Every turn of it is called under the limit. */
export const calledDry = (spool: SpoolState): boolean =>
  isAllCountedOn(spool) &&
  (spool.drying?.state === 'dry' || (spool.drying?.state === 'holding' && spool.drying.pDry >= SURE));

/** Its outer turns are as dry as they are said to be, and stay so: never comes before what can be printed. */
function mayBePrinted({ spool, nowMs }: SpoolFacts): boolean {
  const { drying } = spool;
  if (drying.state === 'dry') return true;
  if (drying.state === 'holding') return calledDry(spool);
  if (drying.state !== 'drying' && drying.state !== 'levelling') return false;
  const when = dryWhen(drying, nowMs).kind;
  return when !== 'never' && when !== 'perhaps-never' && !isAllCountedOn(spool);
}

export function jointAnswer(
  spool: SpoolFacts,
  box: ChamberFacts['station'],
  chamber: ChamberFacts | null,
): SpoolAnswer {
  if (heatLost(spool)) return withSentence(lostHeat(spool, box), chamber);
  if (chamber && mayBePrinted(spool)) {
    const steady = standingOf(chamber.chamber, chamber.nowMs) === 'steady';
    if (steady && countedOnG(spool.spool) >= LEAST_PRINTABLE_G) return canBePrinted(spool, chamber);
    if (!steady && calledDry(spool.spool))
      return withSentence({ ...spoolAnswer(spool), say: onlyChamberWaits(spool, chamber) }, chamber);
  }
  return withSentence(spoolAnswer(spool), chamber);
}

const withSentence = (answer: SpoolAnswer, chamber: ChamberFacts | null): SpoolAnswer =>
  chamber ? { ...answer, tell: [...answer.tell, ' ', ...chamberSentence(chamber)] } : answer;

function lostHeat({ spool, where, format }: SpoolFacts, box: ChamberFacts['station']): SpoolAnswer {
  const { moistureWtPercent: w, state } = spool.drying;
  const air = airNow(box, format);
  return {
    say: [JOINT.heatLost(where)],
    tell: [
      ...(air === null ? [] : [JOINT.heatLostTell(air)]),
      ...JOINT.takesUp(
        spool.id,
        percent(w.p50),
        moistureRange(w),
        state === 'regaining' ? 'taking up' : 'not drying',
      ),
    ],
    help: null,
  };
}

function canBePrinted(facts: SpoolFacts, chamber: ChamberFacts): SpoolAnswer {
  const { spool, nowMs, format } = facts;
  const own = spoolAnswer(facts);
  const limit = percent(spool.limitWtPercent);
  const sinceMs = chamber.chamber.steadySinceMs;
  const since = sinceMs === null ? null : format.when(sinceMs, nowMs);
  const amount = grams(countedOnG(spool));
  const frame = chamber.chamber.notes.map((note) => ` ${note}`);
  if (isAllCountedOn(spool))
    return {
      say: [JOINT.canPrintAll(amount)],
      tell: [JOINT.because(spool.id, limit, since), ...frame],
      help: own.help,
    };
  const rest: readonly Piece[] = spool.drying.state === 'holding' ? [] : [' ', ...own.say];
  return {
    say: [JOINT.canPrintOuter(amount)],
    tell: [JOINT.becauseOuter(limit, since), ...frame, ...rest],
    help: own.help,
  };
}

/** The spool is dry through; what the chamber still needs, as near as it is known. */
function onlyChamberWaits({ spool }: SpoolFacts, facts: ChamberFacts): readonly Piece[] {
  const { chamber, where, nowMs, format } = facts;
  switch (standingOf(chamber, nowMs)) {
    case 'cold':
      return [JOINT.dryBut(spool.id, where, 'cold')];
    case 'cooling':
    case 'cool-enough':
      return [JOINT.dryBut(spool.id, where, 'cooling')];
    case 'too-early':
      return [JOINT.dryBut(spool.id, where, 'early')];
    case 'unknown':
      return [JOINT.dryBut(spool.id, where, 'unknown')];
    default: {
      const about = (atMs: number): string => format.about(atMs, nowMs);
      const when = steadyWhen(chamber, nowMs);
      if (when.kind === 'about') return [JOINT.needsMinutes(spool.id, where, roundWait(when.p50Ms - nowMs))];
      if (when.kind === 'between')
        return when.p05Ms <= nowMs
          ? JOINT.dryButBy(spool.id, where, about(when.p95Ms))
          : JOINT.dryButBetween(spool.id, where, about(when.p05Ms), about(when.p95Ms));
      return [JOINT.dryBut(spool.id, where, 'not-yet')];
    }
  }
}

/** In five minutes up to two hours, then in whole hours. */
function roundWait(ms: number): string {
  const minutes = Math.max(5, 5 * Math.round(ms / (5 * MINUTE)));
  return minutes < 120 ? JOINT.minutes(minutes) : JOINT.hours(Math.round(minutes / 60));
}
