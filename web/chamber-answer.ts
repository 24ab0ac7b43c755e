/**
 * What is said of a chamber: in a sentence of its own beneath an answer about something else, or as the answer where
 * nothing else leads. Pure.
 */
import type { StationState } from '../server/api/messages.ts';
import type { ChamberState } from '../server/api/messages-chamber.ts';
import { type Format, spoken, withUnit } from './format.ts';
import type { Piece } from './pieces.ts';
import { usable } from './stations.ts';
import { type TimeWhen, timeWhen } from './time-when.ts';
import { CHAMBER } from './words/chamber.ts';

export interface ChamberFacts {
  readonly chamber: ChamberState;
  readonly station: StationState;
  /** "the chamber". */
  readonly where: string;
  readonly nowMs: number;
  readonly format: Format;
}

export type Standing =
  | 'steady'
  | 'climbing'
  | 'disturbed'
  | 'too-early'
  | 'cold'
  | 'cooling'
  | 'cool-enough'
  | 'unknown';

/** Residuals of a heat-up are taken from its twelfth minute on, and fitted each fourth. */
const FIRST_RANGE_MS = 16 * 60_000;

export function standingOf(chamber: ChamberState, nowMs: number): Standing {
  const { state, openAtMs, finalAirC } = chamber;
  if (state === 'cooling') return openAtMs.p95 !== null && openAtMs.p95 <= nowMs ? 'cool-enough' : 'cooling';
  if ((state === 'climbing' || state === 'disturbed') && finalAirC === null) return 'too-early';
  return state;
}

export const steadyWhen = (chamber: ChamberState, nowMs: number): TimeWhen =>
  timeWhen(chamber.steadyAtMs, chamber.steadyAtReason, nowMs);

export const airNow = (station: StationState, format: Format): string | null => {
  const celsius = usable(station, 't');
  return celsius === null ? null : withUnit(format.temperature(celsius), format.temperatureUnit);
};

/** One sentence about it, beneath an answer about something else. */
export function chamberSentence(facts: ChamberFacts): readonly Piece[] {
  const { chamber, station, where, nowMs, format } = facts;
  const air = airNow(station, format);
  const standing = standingOf(chamber, nowMs);
  if (air === null || standing === 'unknown') return [CHAMBER.notKnown(where)];
  const isAt = CHAMBER.isAt(where, air);
  switch (standing) {
    case 'steady':
      return chamber.steadySinceMs === null
        ? [isAt, CHAMBER.stop]
        : [...CHAMBER.steadySince(where, format.when(chamber.steadySinceMs, nowMs)), ...frameNote(chamber)];
    case 'cold':
      return [isAt, CHAMBER.notHeated];
    case 'too-early':
      return [isAt, CHAMBER.tooEarly(heatedFor(chamber, nowMs))];
    case 'cool-enough':
      return [isAt, CHAMBER.openSince(format.when(chamber.openAtMs.p50 ?? nowMs, nowMs))];
    case 'cooling':
      return [isAt, CHAMBER.cooling, ...opens(facts)];
    default:
      return [isAt, ...(standing === 'disturbed' ? [CHAMBER.again] : []), ...steadyAt(facts)];
  }
}

const heatedFor = ({ heatOnMs }: ChamberState, nowMs: number) =>
  heatOnMs === null ? null : spoken(Math.max(0, nowMs - heatOnMs));

/** What is still to be known of a steady chamber: its frame may be behind. */
const frameNote = ({ notes }: ChamberState): string[] => notes.map((note) => ` ${note}`);

function steadyAt({ chamber, nowMs, format }: ChamberFacts): Piece[] {
  const about = (atMs: number): string => format.about(atMs, nowMs);
  const when = steadyWhen(chamber, nowMs);
  switch (when.kind) {
    case 'about':
      return CHAMBER.steadyAbout(about(when.p50Ms), format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'between':
      return when.p05Ms <= nowMs
        ? CHAMBER.steadyBy(about(when.p95Ms))
        : CHAMBER.steadyBetween(about(when.p05Ms), about(when.p95Ms));
    case 'from':
      return CHAMBER.steadyAfter(about(Math.max(nowMs, when.p05Ms)));
    case 'beyond':
      return [CHAMBER.steadyBeyond];
    default:
      return [CHAMBER.stop];
  }
}

function opens({ chamber, nowMs, format }: ChamberFacts): Piece[] {
  const when = timeWhen(chamber.openAtMs, chamber.openAtReason, nowMs);
  const about = (atMs: number): string => format.about(atMs, nowMs);
  switch (when.kind) {
    case 'about':
      return CHAMBER.openAbout(about(when.p50Ms), format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'between':
      return [CHAMBER.openBy(about(when.p95Ms))];
    case 'from':
      return [CHAMBER.openAfter(about(Math.max(nowMs, when.p05Ms)), when.open)];
    case 'beyond':
      return [CHAMBER.openBeyond];
    default:
      return [CHAMBER.stop];
  }
}

export interface ChamberAnswer {
  readonly say: readonly Piece[];
  readonly tell: readonly Piece[];
}

/** The answer where the chamber leads; null where it is cold: then nobody waits for it. */
export function chamberAnswer(facts: ChamberFacts): ChamberAnswer | null {
  const { chamber, station, where, nowMs, format } = facts;
  const air = airNow(station, format);
  const standing = standingOf(chamber, nowMs);
  if (air === null || standing === 'cold' || standing === 'unknown') return null;
  const final = chamber.finalAirC;
  const inUnit = (celsius: number): string => withUnit(format.temperature(celsius), format.temperatureUnit);
  const ends: Piece[] = final
    ? CHAMBER.ends(air, inUnit(final.p50), format.temperatureRange(final.p05, final.p95))
    : [CHAMBER.justAt(air)];
  switch (standing) {
    case 'steady':
      return {
        say: CHAMBER.steadySince(where, format.when(chamber.steadySinceMs ?? nowMs, nowMs)),
        tell: [
          ...(final
            ? CHAMBER.heldNear(air, format.temperatureStep(chamber.readyBandC), inUnit(final.p50))
            : ends),
          ...frameNote(chamber),
        ],
      };
    case 'too-early': {
      const heated = heatedFor(chamber, nowMs);
      const firstMs = (chamber.heatOnMs ?? nowMs) + FIRST_RANGE_MS;
      return {
        say: [CHAMBER.tooEarlyHead(where)],
        tell: [
          heated === null ? CHAMBER.justAt(air) : CHAMBER.heatedFor(heated, air),
          ...(heated === null
            ? []
            : [firstMs > nowMs ? CHAMBER.firstRange(format.about(firstMs, nowMs)) : CHAMBER.stop]),
        ],
      };
    }
    case 'cool-enough':
      return { say: [CHAMBER.coolEnough(where)], tell: [CHAMBER.justAt(air)] };
    case 'cooling':
      return { say: [CHAMBER.isCooling(where)], tell: [CHAMBER.justAt(air), ...opening(facts)] };
    default:
      return {
        say: notYet(facts),
        tell: [...ends, ...(standing === 'disturbed' ? [CHAMBER.disturbed] : [])],
      };
  }
}

/** The same as a sentence of its own. */
function opening({ chamber, nowMs, format }: ChamberFacts): readonly Piece[] {
  const when = timeWhen(chamber.openAtMs, chamber.openAtReason, nowMs);
  const about = (atMs: number): string => format.about(atMs, nowMs);
  switch (when.kind) {
    case 'about':
      return CHAMBER.opensAbout(about(when.p50Ms), format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'between':
      return [CHAMBER.opensBy(about(when.p95Ms))];
    case 'from':
      return [CHAMBER.opensAfter(about(Math.max(nowMs, when.p05Ms)), when.open)];
    case 'beyond':
      return [CHAMBER.opensBeyond];
    default:
      return [];
  }
}

function notYet({ chamber, where, nowMs, format }: ChamberFacts): readonly Piece[] {
  const about = (atMs: number): string => format.about(atMs, nowMs);
  const when = steadyWhen(chamber, nowMs);
  switch (when.kind) {
    case 'about':
      return CHAMBER.notYetAbout(where, about(when.p50Ms), format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'between':
      return when.p05Ms <= nowMs
        ? CHAMBER.notYetBy(where, about(when.p95Ms))
        : CHAMBER.notYetBetween(where, about(when.p05Ms), about(when.p95Ms));
    case 'from':
      return CHAMBER.notYetAfter(where, about(Math.max(nowMs, when.p05Ms)));
    case 'beyond':
      return [CHAMBER.notYetBeyond(where)];
    default:
      return [CHAMBER.tooEarlyHead(where)];
  }
}
