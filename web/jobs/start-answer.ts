/** The start check in words: the answer, what it rests on, and what starting now would mean. Pure. */
import type { SpoolState, StationState } from '../../server/api/messages.ts';
import type { StartFindingWire, StartQuery } from '../../server/api/messages-jobs.ts';
import type { Connection } from '../bench-state.ts';
import { dryWhen, isRunning } from '../dry-when.ts';
import { type Format, moisture, moistureRange, range, spoken, withUnit } from '../format.ts';
import { type Piece, plainText } from '../pieces.ts';
import { nameIn } from '../stations.ts';
import { isAllCountedOn } from '../usable.ts';
import { ANSWER } from '../words/answer.ts';
import { START, shortOf, sureOf } from '../words/jobs.ts';
import { gramsIn, waitText } from './amounts.ts';

export interface StartFacts {
  readonly connection: Connection;
  readonly lostSinceMs: number | null;
  readonly stations: readonly StationState[];
  readonly spool: SpoolState | null;
  readonly name: string;
  readonly query: StartQuery | null;
  readonly finding: StartFindingWire | null;
  readonly refusal: string | null;
  readonly nowMs: number;
  readonly format: Format;
}

export interface StartAnswer {
  readonly heading: readonly Piece[];
  readonly tell: readonly string[];
  /** Of starting now; null where it was asked for, or nothing can be said. */
  readonly ifNow: readonly (readonly Piece[])[] | null;
  /** Whether a time may be shown at all: not while what it rests on is quiet. */
  readonly tellsTimes: boolean;
}

/** Below this a chance is no longer worth its number. */
const HARDLY = 0.15;
const TOGETHER_MIN = 5;

export function startAnswer(facts: StartFacts): StartAnswer {
  const { connection, spool, query, finding, refusal, nowMs, format } = facts;
  const plain = (heading: string, ...tell: string[]): StartAnswer => ({
    heading: [heading],
    tell,
    ifNow: null,
    tellsTimes: false,
  });
  if (connection === 'asking') return plain(ANSWER.asking, ANSWER.askingTell);
  if (connection === 'unanswered') return plain(ANSWER.noAnswer, ANSWER.noAnswerTell);
  if (connection === 'lost')
    return plain(ANSWER.lost(format.when(facts.lostSinceMs ?? nowMs, nowMs)), ANSWER.lostTell);
  if (!spool) return plain(START.noSpool, START.noSpoolTell);
  if (!query) return plain(START.ask, START.askTell);
  const quiet = quietOf(facts, query, spool);
  if (quiet) return plain(quiet);
  if (refusal !== null) return plain(sentence(refusal));
  if (!finding) return plain(START.asking);
  return {
    heading: headingOf(facts, finding, query, spool),
    tell: tellOf(facts, finding, query, spool),
    ifNow: finding.outcome === 'start-now' ? null : nowOf(finding, query, spool),
    tellsTimes: true,
  };
}

const sentence = (text: string): string => (/[.?!]$/.test(text) ? text : `${text}.`);
const limitText = (spool: SpoolState): string => withUnit(moisture(spool.limitWtPercent), '%');

/** Nothing is foretold of a place while it is quiet. */
function quietOf({ stations, nowMs }: StartFacts, query: StartQuery, spool: SpoolState): string | null {
  const rests = stations.filter(({ id }) => id === spool.station || id === query.chamber);
  const silent = rests.find(({ quiet }) => quiet);
  if (!silent) return null;
  const where = nameIn(stations, silent);
  return silent.heardMs === null
    ? ANSWER.unheard([where])
    : ANSWER.quiet([where], spoken(nowMs - silent.heardMs));
}

function headingOf(
  { name, nowMs, format }: StartFacts,
  { outcome, earliestMs, reasons }: StartFindingWire,
  query: StartQuery,
  spool: SpoolState,
): readonly Piece[] {
  switch (outcome) {
    case 'start-now':
      return [START.now(name)];
    case 'start-later':
      // The page's clock has gone on since it was asked.
      return (earliestMs ?? 0) <= nowMs
        ? [START.now(name)]
        : START.later(name, format.about(earliestMs ?? nowMs, nowMs));
    case 'spool-never':
      return [bestOf(reasons) < HARDLY ? START.notEnoughDry(spool.id) : START.neverSure(spool.id)];
    case 'spool-beyond':
      return [START.beyond(spool.id)];
    case 'spool-not-drying':
      return [START.notDrying(spool.id)];
    case 'chamber-beyond':
      return [START.chamberBeyond];
    case 'chamber-off-target': {
      const ends = reasons.find((reason) => reason.kind === 'chamber-ends-at');
      const finalC = ends?.kind === 'chamber-ends-at' ? ends.finalAirC.p50 : null;
      return [START.offTarget(heat(format, finalC), heat(format, query.chamberC ?? null))];
    }
    default:
      return [START.short(spool.id)];
  }
}

const heat = (format: Format, celsius: number | null): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);

function bestOf(reasons: StartFindingWire['reasons']): number {
  const last = reasons.find((reason) => reason.kind === 'probability-at-last');
  return last?.kind === 'probability-at-last' ? last.probability : 0;
}

function tellOf(
  { nowMs, format }: StartFacts,
  finding: StartFindingWire,
  query: StartQuery,
  spool: SpoolState,
): string[] {
  const { outcome, spoolReadyMs, chamberReadyMs, reasons } = finding;
  const limit = limitText(spool);
  const [amount, sure] = [gramsIn(query.grams), sureOf(query.sure ?? 0.9)];
  const at = (ms: number): string => format.about(ms, nowMs);
  const said: string[] = [];
  if (outcome !== 'not-enough-filament') said.push(...besideBench(spool, finding, nowMs, format));
  if (outcome === 'spool-not-drying') said.push(START.heatIt);
  if (outcome === 'spool-never') said.push(START.best(shortOf(bestOf(reasons), query.sure ?? 0.9), limit));
  if (outcome === 'spool-beyond')
    said.push(START.bestInThreeDays(shortOf(bestOf(reasons), query.sure ?? 0.9), limit));
  if (spoolReadyMs !== null)
    said.push(
      spoolReadyMs <= nowMs
        ? START.spoolNow(amount, limit, sure)
        : START.spoolAt(amount, limit, sure, at(spoolReadyMs), waitText(spoolReadyMs - nowMs)),
    );
  if (chamberReadyMs !== null && outcome !== 'chamber-off-target')
    said.push(
      chamberReadyMs <= nowMs
        ? START.chamberNow
        : START.chamberAt(at(chamberReadyMs), waitText(chamberReadyMs - nowMs), finding.bedOn !== false),
    );
  for (const reason of reasons)
    switch (reason.kind) {
      case 'decides':
        if (reason.what !== 'neither') said.push(decides(reason.what, reason.otherEarlierMin));
        break;
      case 'bed-on-by':
        said.push(
          reason.atMs <= nowMs + 300_000
            ? START.bedOnNow(reason.basis)
            : START.bedOn(at(reason.atMs), reason.basis),
        );
        break;
      case 'no-chamber':
        said.push(START.noChamber);
        break;
      case 'chamber-ends-at':
        said.push(
          START.endsAt(
            heat(format, reason.finalAirC.p50),
            format.temperatureRange(reason.finalAirC.p05, reason.finalAirC.p95),
            heat(format, reason.targetC),
          ),
        );
        break;
      case 'box-assumed':
        said.push(
          [
            START.boxAssumed(heat(format, reason.assumedC), heat(format, reason.presentC)),
            ...(outcome === 'start-now' ? [] : [START.leftHotter]),
          ].join(' '),
        );
        break;
      case 'spool-short':
        said.push(START.shortTell(gramsIn(reason.hasG), gramsIn(reason.needsG)));
        break;
      case 'filament-taken':
        said.push(START.taken(gramsIn(reason.takenG)));
        break;
    }
  if (outcome === 'start-now' && finding.ifNow && finding.ifNow.purgeG > 0)
    said.push(START.purge(withUnit(String(Math.ceil(finding.ifNow.purgeG)), 'g')));
  return said;
}

/** The Bench speaks of the spool's mean, a job of the turns that it feeds: where the two differ, both are said. */
function besideBench(
  spool: SpoolState,
  { spoolReadyMs }: StartFindingWire,
  nowMs: number,
  format: Format,
): string[] {
  const { drying } = spool;
  if (!drying) return [];
  const ready = spoolReadyMs !== null && spoolReadyMs <= nowMs;
  if (drying.state === 'dry') return ready || isAllCountedOn(spool) ? [] : [START.dryOnAverage];
  if (!isRunning(drying)) return [];
  const when = dryWhen(drying, nowMs);
  if (ready) return when.kind === 'no-run' ? [] : [START.outerNow];
  if (when.kind === 'about') return [START.averageAt(format.about(when.p50Ms, nowMs))];
  if (when.kind !== 'between' || when.p05Ms <= nowMs) return [];
  return [START.averageBetween(format.about(when.p05Ms, nowMs), format.about(when.p95Ms, nowMs))];
}

function decides(what: 'spool' | 'chamber', otherEarlierMin: number | null): string {
  if (otherEarlierMin !== null && otherEarlierMin < TOGETHER_MIN) return START.together(what);
  return START.decides(what, otherEarlierMin === null ? null : waitText(60_000 * otherEarlierMin));
}

function nowOf({ ifNow }: StartFindingWire, query: StartQuery, spool: SpoolState): Piece[][] | null {
  if (!ifNow) return null;
  const said: Piece[][] = [[START.nowChance(shortOf(ifNow.pSpool, query.sure ?? 0.9), limitText(spool))]];
  const { tooWetG, underG, wettestWtPercent } = ifNow;
  const wettest = [withUnit(moisture(wettestWtPercent.p50), '%'), moistureRange(wettestWtPercent)] as const;
  if (tooWetG.p50 < 0.5) said.push([START.nowNone]);
  else if (tooWetG.p05 > 0.98 * query.grams) said.push(START.nowAll(...wettest));
  else
    said.push(
      START.nowWet(
        gramsIn(tooWetG.p50),
        range(tooWetG.p05, tooWetG.p95, query.grams < 20 ? 1 : 0),
        underG.p50 < 0.5 ? START.nowFromFirst : START.nowFrom(gramsIn(underG.p50)),
        ...wettest,
      ),
    );
  if (ifNow.pChamber !== null) said.push([START.nowChamber(shortOf(ifNow.pChamber, query.sure ?? 0.9))]);
  if (ifNow.purgeG > 0) said.push([START.purge(withUnit(String(Math.ceil(ifNow.purgeG)), 'g'))]);
  return said;
}

export const plainHeading = (answer: StartAnswer): string => plainText(answer.heading);
