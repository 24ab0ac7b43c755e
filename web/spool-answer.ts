/**
 * The answer about a spool while it dries, is kept or lies out: never comes before not yet, and not yet before dry. Pure.
 */
import type { Drying, SpoolState } from '../server/api/messages.ts';
import { type DryWhen, dryWhen, isRunning, passesLimitMs } from './dry-when.ts';
import { type Format, moisture, moistureRange, roundAge, spoken } from './format.ts';
import type { Piece } from './pieces.ts';
import { timeWhen } from './time-when.ts';
import { countedOnG, grams, isAllCountedOn } from './usable.ts';
import { SPOOL } from './words/spool.ts';

export interface SpoolAnswer {
  readonly say: readonly Piece[];
  readonly tell: readonly Piece[];
  /** What would help, where the air is in the way. */
  readonly help: string | null;
}

export interface SpoolFacts {
  readonly spool: SpoolState & { readonly drying: Drying };
  /** "the drying box". */
  readonly where: string;
  readonly nowMs: number;
  readonly format: Format;
}

/** A first fit ends with the first ten minutes of a run, and each later one ten minutes after. */
const REFIT_MS = 600_000;
/** P(under the limit) from which a kept spool is called under it: as for one that dries. */
const SURE = 0.9;

const percent = (value: number): string => SPOOL.percent(moisture(value));

export function spoolAnswer(facts: SpoolFacts): SpoolAnswer {
  const { spool, nowMs } = facts;
  const { drying } = spool;
  const limit = percent(spool.limitWtPercent);
  const [value, band] = [percent(drying.moistureWtPercent.p50), moistureRange(drying.moistureWtPercent)];
  const answer = (say: string | readonly Piece[], tell: readonly Piece[], help: string | null = null) => ({
    say: typeof say === 'string' ? [say] : say,
    tell,
    help,
  });
  switch (drying.state) {
    case 'idle':
      return answer(SPOOL.out(spool.id, facts.where), SPOOL.whenLastIn(value, band));
    case 'unknown':
      return answer(SPOOL.unknown(spool.id), [SPOOL.unknownTell(facts.where)]);
    case 'dry':
      return dryAnswer(facts, value, band, limit);
    case 'holding':
      return answer(
        drying.pDry >= SURE ? SPOOL.keptDry(spool.id, limit) : SPOOL.kept(spool.id, value),
        SPOOL.keptTell(band, limit, spool.limitKind),
      );
    case 'regaining':
      return answer(SPOOL.regaining(spool.id), [
        ...SPOOL.isAt(value, band),
        SPOOL.stop,
        regainTell(facts, limit),
      ]);
    default: {
      const when = dryWhen(drying, nowMs);
      if (when.kind === 'never' || when.kind === 'perhaps-never')
        return answer(
          when.kind === 'never' ? SPOOL.never(spool.id, limit) : SPOOL.perhapsNever(spool.id, limit),
          [...stopsAt(drying, value, band), ...chances(when, drying)],
          drying.notes.find((note) => note.startsWith('Never in this air')) ?? null,
        );
      if (drying.state === 'warming') return warmingAnswer(facts, when, value, band);
      return answer(notYet(facts, when, limit), [
        ...SPOOL.isAt(value, band),
        ...(drying.state === 'levelling'
          ? [
              SPOOL.levelling,
              drying.floorWtPercent ? SPOOL.near(percent(drying.floorWtPercent.p50)) : SPOOL.stop,
            ]
          : [SPOOL.drying]),
        ...(when.kind === 'between' && when.p95Ms <= nowMs
          ? [SPOOL.nearlyTell]
          : underAlready(facts, when, limit)),
        ...throughTell(facts, when, limit),
        ...outerTell(facts, limit),
      ]);
    }
  }
}

function notYet(facts: SpoolFacts, when: DryWhen, limit: string): readonly Piece[] {
  const { spool, nowMs, format } = facts;
  const about = (atMs: number): string => format.about(atMs, nowMs);
  switch (when.kind) {
    case 'about':
      return SPOOL.about(spool.id, about(when.p50Ms), format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'between':
      // The whole range has passed and it is not called: nine in ten and more, but not surely enough.
      if (when.p95Ms <= nowMs) return [SPOOL.nearly(spool.id, limit)];
      return when.p05Ms <= nowMs
        ? SPOOL.by(spool.id, about(when.p95Ms), howSure(spool.drying.pDry))
        : SPOOL.between(spool.id, about(when.p05Ms), about(when.p95Ms));
    case 'from':
      return SPOOL.from(spool.id, about(Math.max(nowMs, when.p05Ms)), when.open);
    case 'beyond':
      return [SPOOL.beyond(spool.id)];
    default:
      return [SPOOL.noTime(spool.id, limit)];
  }
}

/** Half and less is not sure; where hardly any likely spool is there, it is plainly not yet. */
const howSure = (pDry: number): 'not-yet' | 'not-sure' | 'likely' =>
  pDry >= 0.5 ? 'likely' : pDry >= 0.2 ? 'not-sure' : 'not-yet';

const underAlready = ({ spool, nowMs }: SpoolFacts, when: DryWhen, limit: string): Piece[] => {
  const tenths = Math.min(9, Math.round(10 * spool.drying.pDry));
  return when.kind === 'between' && when.p05Ms <= nowMs && tenths > 0
    ? [SPOOL.underAlready(tenths, limit)]
    : [];
};

function warmingAnswer(facts: SpoolFacts, when: DryWhen, value: string, band: string): SpoolAnswer {
  const { spool, nowMs, format } = facts;
  const startMs = spool.drying.runStartMs;
  const tell: Piece[] = [...SPOOL.warming(spool.id, value, band)];
  if (startMs !== null) {
    const passed = Math.max(0, nowMs - startMs);
    tell.push(' ', SPOOL.heatedFor(spoken(passed)));
    if (when.kind === 'about' || when.kind === 'between')
      tell.push(...SPOOL.firstSpan(format.aboutRange(when.p05Ms, when.p95Ms, nowMs)));
    else if (when.kind === 'from')
      tell.push(...SPOOL.firstSpan(SPOOL.openSpan(format.about(when.p05Ms, nowMs), when.open)));
    else {
      const nextMs = startMs + REFIT_MS * Math.ceil((passed + 1) / REFIT_MS);
      tell.push(when.kind === 'no-run' ? SPOOL.firstRange(format.about(nextMs, nowMs)) : SPOOL.stop);
    }
  }
  return { say: [SPOOL.tooEarly], tell, help: null };
}

function dryAnswer(facts: SpoolFacts, value: string, band: string, limit: string): SpoolAnswer {
  const { spool, nowMs, format } = facts;
  const { drying } = spool;
  const whole = isAllCountedOn(spool);
  const wet = drying.wettestTurnWtPercent;
  const throughMs = drying.dryThroughAtMs.p50;
  return {
    say: [whole ? SPOOL.dry(spool.id) : SPOOL.dryOnAverage],
    tell: [
      ...(drying.dryCalledMs === null
        ? [...SPOOL.isAt(value, band), SPOOL.stop]
        : SPOOL.called(spool.id, value, band, limit, format.when(drying.dryCalledMs, nowMs))),
      ' ',
      ...SPOOL.wettest(percent(wet.p50), moistureRange(wet)),
      !whole && throughMs !== null && throughMs > nowMs
        ? SPOOL.through(format.about(throughMs, nowMs))
        : SPOOL.stop,
      ...(whole ? [] : outerTell(facts, limit)),
    ],
    help: null,
  };
}

/** Its own time beside the average's, as it is known: a job asks for every turn. */
const throughTell = ({ spool, nowMs, format }: SpoolFacts, when: DryWhen, limit: string): Piece[] => {
  const { dryThroughAtMs, dryThroughAtReason } = spool.drying;
  if (when.kind !== 'about' && when.kind !== 'between') return [];
  const through = timeWhen(dryThroughAtMs, dryThroughAtReason, nowMs);
  const about = (atMs: number): string => format.about(Math.max(nowMs, atMs), nowMs);
  if (through.kind === 'about') return [SPOOL.throughAt(about(through.p50Ms), limit)];
  return through.kind === 'between' && through.p95Ms > nowMs
    ? [SPOOL.throughBetween(about(through.p05Ms), about(through.p95Ms), limit)]
    : [];
};

const outerTell = ({ spool }: SpoolFacts, limit: string): Piece[] => {
  const sure = countedOnG(spool);
  return sure > 0 ? [` ${SPOOL.outer(grams(sure), limit)}`] : [];
};

function stopsAt(drying: Drying, value: string, band: string): readonly Piece[] {
  const floor = drying.floorWtPercent;
  return floor
    ? SPOOL.stops(value, band, percent(floor.p50), moistureRange(floor))
    : [...SPOOL.isAt(value, band), SPOOL.stop];
}

const chances = (when: DryWhen, drying: Drying): Piece[] =>
  when.kind === 'perhaps-never' ? [` ${SPOOL.chances(Math.round(10 * drying.pNever))}`] : [];

function regainTell({ spool, nowMs, format }: SpoolFacts, limit: string): string {
  const { drying, limitWtPercent } = spool;
  if (drying.moistureWtPercent.p50 >= limitWtPercent) return SPOOL.alreadyOver(limit);
  const atMs = passesLimitMs(drying, limitWtPercent);
  return atMs === null
    ? SPOOL.stillUnder(limit)
    : SPOOL.passes(limit, format.about(Math.max(nowMs, atMs), nowMs));
}

/** The same in one line, for a list of boxes. */
export function spoolLine(facts: Omit<SpoolFacts, 'where'>): string {
  const { spool, nowMs, format } = facts;
  const { drying } = spool;
  const said = SPOOL.line.of(
    spool.id,
    SPOOL.doing(drying.state),
    percent(drying.moistureWtPercent.p50),
    moistureRange(drying.moistureWtPercent),
  );
  if (!isRunning(drying)) return said;
  const when = dryWhen(drying, nowMs);
  switch (when.kind) {
    case 'about':
    case 'between':
      return said + SPOOL.line.dryBetween(format.aboutRange(when.p05Ms, when.p95Ms, nowMs));
    case 'from':
      return said + SPOOL.line.orNever(format.about(when.p05Ms, nowMs));
    case 'never':
    case 'perhaps-never':
      return said + SPOOL.line.notHere(percent(spool.limitWtPercent));
    default:
      return said;
  }
}

/** For a box that has fallen quiet: what was known of its spool when it was last heard. */
export function lastKnown(facts: Omit<SpoolFacts, 'where'>, heardMs: number): readonly Piece[] {
  const { spool, nowMs, format } = facts;
  const { moistureWtPercent: w, state } = spool.drying;
  return SPOOL.whenLastHeard(
    format.when(heardMs, nowMs),
    spool.id,
    percent(w.p50),
    moistureRange(w),
    SPOOL.doing(state),
  );
}

export const quietLine = (quietMs: number | null): string =>
  quietMs === null ? SPOOL.line.unheard : SPOOL.line.quiet(roundAge(quietMs));
