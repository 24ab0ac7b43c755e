/**
 * The answer a person could say aloud, from what is known. Pure. Quiet beats everything: while a station the answer
 * rests on is silent, the heading says so and nothing is claimed about it.
 */
import type { SourceState, SpoolState, StationState } from '../server/api/messages.ts';
import type { Bench } from './bench-model.ts';
import type { Connection } from './bench-state.ts';
import { type Format, fixed, range, spoken, withUnit } from './format.ts';
import { type Piece, plainText } from './pieces.ts';
import { lastKnown, spoolAnswer } from './spool-answer.ts';
import { type Cast, isBox, nameIn, usable } from './stations.ts';
import { ANSWER, LOOK_AT } from './words/answer.ts';
import { PLATE, SOURCES } from './words/bench.ts';
import { fault } from './words/ground.ts';
import { SPOOL } from './words/spool.ts';

export interface Aside {
  readonly head: string;
  readonly rows: readonly (readonly [what: string, how: string])[];
  readonly note: string;
}

export interface Answer {
  readonly heading: string;
  /** The heading with its marks, where it has any. */
  readonly say?: readonly Piece[];
  readonly tell: readonly Piece[];
  readonly aside: Aside | null;
}

export interface AnswerFacts {
  readonly connection: Connection;
  readonly bench: Bench | null;
  readonly cast: Cast;
  /** The spool the answer is about. */
  readonly spool?: SpoolState | null;
  readonly nowMs: number;
  readonly lostSinceMs: number | null;
  readonly format: Format;
}

export function answerOf(facts: AnswerFacts): Answer {
  const { connection, bench, format, nowMs } = facts;
  const only = (heading: string, tell: string): Answer => ({ heading, tell: [tell], aside: null });
  if (bench === null)
    return connection === 'unanswered'
      ? only(ANSWER.noAnswer, ANSWER.noAnswerTell)
      : only(ANSWER.asking, ANSWER.askingTell);
  if (facts.lostSinceMs !== null)
    return only(ANSWER.lost(format.when(facts.lostSinceMs, nowMs)), ANSWER.lostTell);
  if (bench.stations.length === 0) return nothingConnected(bench);
  const heard = bench.stations.filter((station) => station.heardMs !== null);
  if (heard.length === 0) return neverHeard(facts, bench);
  const speaking = bench.stations.filter((station) => !station.quiet);
  if (speaking.length === 0) return allQuiet(facts, bench, heard);
  const missed = bench.stations.filter((station) => station.quiet && answerRestsOn(station, facts.spool));
  if (missed.length > 0) return someQuiet(facts, bench, missed, speaking);
  return sensorFault(facts, bench) ?? ofSpool(facts, bench) ?? allHeard(facts, bench, speaking);
}

/**
 * A cabinet of electronics may fall silent without anything being unknown about spool or chamber; and what is said of a
 * spool rests on its own station: another one's silence is told beneath.
 */
const answerRestsOn = (station: StationState, spool: SpoolState | null | undefined): boolean =>
  spool?.drying ? station.id === spool.station : station.role !== 'electronics';

function ofSpool(facts: AnswerFacts, bench: Bench): Answer | null {
  const { spool, nowMs, format } = facts;
  const station = bench.stations.find((one) => one.id === spool?.station);
  if (!spool?.drying || !station) return null;
  const where = nameIn(bench.stations, station);
  const { say, tell, help } = spoolAnswer({
    spool: { ...spool, drying: spool.drying },
    where,
    nowMs,
    format,
  });
  const more = [
    ...(bench.stations.some((one) => one.role === 'room') ? [] : [SPOOL.noRoom]),
    ...restOf(facts, bench, station),
  ];
  return {
    heading: plainText(say),
    say,
    tell: [...tell, ...more.map((sentence) => ` ${sentence}`)],
    aside: help === null ? null : { head: SPOOL.help, rows: [], note: help },
  };
}

/** What is known of the chamber, and which other place that matters has fallen silent. */
function restOf(facts: AnswerFacts, bench: Bench, own: StationState): string[] {
  const { format, nowMs, cast } = facts;
  const said: string[] = [];
  for (const station of [cast.chamber, cast.room]) {
    if (!station || station === own) continue;
    const where = nameIn(bench.stations, station);
    const celsius = usable(station, 't');
    if (station.quiet)
      said.push(
        station.heardMs === null
          ? ANSWER.unheardAside(where)
          : ANSWER.quietAside([where], spoken(nowMs - station.heardMs)),
      );
    else if (station === cast.chamber)
      said.push(
        celsius === null ? ANSWER.temperatureFault(where) : ANSWER.chamberAt(where, inUnit(celsius, format)),
      );
  }
  return said;
}

function nothingConnected(bench: Bench): Answer {
  const names = bench.unknownStations;
  if (names[0] !== undefined)
    return {
      heading: names.length <= 3 ? ANSWER.strangers(names) : ANSWER.strangersMany(names.length),
      tell: [ANSWER.strangersTell(names[0])],
      aside: null,
    };
  return {
    heading: ANSWER.nothingConnected,
    tell: [troubleOf(bench) ?? ANSWER.nothingConnectedTell],
    aside: null,
  };
}

function neverHeard(facts: AnswerFacts, bench: Bench): Answer {
  const names = bench.stations.map((station) => nameIn(bench.stations, station));
  return {
    heading: names.length <= 3 ? ANSWER.neverHeard(names) : ANSWER.neverHeardMany(names.length),
    tell: [ANSWER.neverHeardTell(troubleOf(bench))],
    aside: { ...lookAt(facts, bench, [], 0), note: '' },
  };
}

function allQuiet(facts: AnswerFacts, bench: Bench, heard: readonly StationState[]): Answer {
  const lastMs = Math.max(...heard.map((station) => station.heardMs ?? 0));
  return {
    heading: ANSWER.allQuiet(spoken(facts.nowMs - lastMs)),
    tell: [ANSWER.allQuietTell(troubleOf(bench))],
    aside: lookAt(facts, bench, heard.slice(0, 3), 0),
  };
}

function someQuiet(
  facts: AnswerFacts,
  bench: Bench,
  missed: readonly StationState[],
  speaking: readonly StationState[],
): Answer {
  const { nowMs, format } = facts;
  const fell = missed.filter((station) => station.heardMs !== null);
  const names = (stations: readonly StationState[]): string[] =>
    stations.map((station) => nameIn(bench.stations, station));
  // Places never heard say nothing of a time, so those that fell quiet lead.
  const lead = fell.length > 0 ? fell : missed;
  const lastMs = Math.max(...lead.map((station) => station.heardMs ?? 0));
  const heading =
    fell.length > 0
      ? ANSWER.quiet(names(lead.slice(0, 2)), spoken(nowMs - lastMs))
      : ANSWER.unheard(names(lead.slice(0, 2)));
  const tell: Piece[] = [];
  const first = fell[0];
  if (first && first.heardMs !== null) {
    const { spool } = facts;
    const values = valuesOf(first, format);
    if (spool?.drying && spool.station === first.id)
      tell.push(...lastKnown({ spool: { ...spool, drying: spool.drying }, nowMs, format }, first.heardMs));
    else if (values !== null) tell.push(ANSWER.whenLastHeard(format.when(first.heardMs, nowMs), values));
  }
  const others = ANSWER.othersHeard(speaking.length, bench.stations.length - speaking.length - missed.length);
  if (others !== '') tell.push(tell.length > 0 ? ' ' : '', others);
  return {
    heading,
    tell,
    aside: lookAt(facts, bench, lead.slice(0, 3), speaking.length),
  };
}

/** The sensor of the box or the chamber speaks, but not of anything that can be used. */
function sensorFault(facts: AnswerFacts, bench: Bench): Answer | null {
  const { format } = facts;
  const { spool } = facts;
  const needed = spool?.drying
    ? bench.stations.filter((station) => station.id === spool.station)
    : [facts.cast.box, facts.cast.chamber];
  for (const station of needed) {
    if (!station) continue;
    const where = nameIn(bench.stations, station);
    const others = bench.stations.filter((other) => other !== station && !other.quiet).length;
    const answer = (heading: string, tell: string): Answer => ({
      heading,
      tell: [[tell, ANSWER.othersHeard(others)].join(' ').trim()],
      aside: null,
    });
    // The warmth of either matters; the humidity of a chamber does not.
    const keys = isBox(station) ? (['t', 'rh'] as const) : (['t'] as const);
    for (const key of keys) {
      const [name, value] = [station.faults[key], station.values[key]];
      if (name !== undefined)
        return answer(
          key === 't' ? ANSWER.temperatureFault(where) : ANSWER.humidityFault(where),
          ANSWER.faultTell(fault(name)),
        );
      if (value !== undefined && station.flagged.includes(key))
        return answer(
          ANSWER.implausible(where, key === 't' ? inUnit(value, format) : humidity(value)),
          ANSWER.implausibleTell,
        );
    }
  }
  return null;
}

const inUnit = (celsius: number, format: Format): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);
const humidity = (percent: number | null): string => withUnit(fixed(percent, 1), PLATE.humidityUnit);

function allHeard(facts: AnswerFacts, bench: Bench, speaking: readonly StationState[]): Answer {
  const { format, cast } = facts;
  const main = cast.box ?? cast.chamber ?? cast.room ?? speaking[0] ?? null;
  const temperature = main && usable(main, 't');
  if (!main || temperature === null)
    return { heading: ANSWER.heardOnly(speaking.length), tell: [], aside: null };
  const where = nameIn(bench.stations, main);
  const heading =
    speaking.length === 1
      ? ANSWER.heardOne(where, valuesOf(main, format) ?? inUnit(temperature, format))
      : ANSWER.heard(speaking.length, where, inUnit(temperature, format));
  const tell: Piece[] = [...waterIn(main, main === cast.room ? null : cast.room, format)];
  const { chamber } = cast;
  const chamberC = chamber && usable(chamber, 't');
  if (chamber && chamber !== main && chamberC !== null)
    tell.push(
      tell.length > 0 ? ' ' : '',
      ANSWER.chamberAt(nameIn(bench.stations, chamber), inUnit(chamberC, format)),
    );
  return { heading, tell, aside: null };
}

function waterIn(station: StationState, room: StationState | null, format: Format): Piece[] {
  const air = station.air;
  if (!air) return [];
  if (air.vapourDensityGPerM3 === null) {
    const bound = air.dewPointBand;
    if (bound?.kind !== 'at-most') return [];
    return [ANSWER.belowZero(humidity(air.relativeHumidityPercent), inUnit(bound.highC, format))];
  }
  const bandOf = (of: typeof air): string | null =>
    of.vapourDensityBandGPerM3 && range(of.vapourDensityBandGPerM3.low, of.vapourDensityBandGPerM3.high, 1);
  const pieces = ANSWER.holds(withUnit(fixed(air.vapourDensityGPerM3, 1), PLATE.vapourUnit), bandOf(air));
  const roomAir = room && !room.quiet ? room.air : null;
  if (roomAir && roomAir.vapourDensityGPerM3 !== null)
    pieces.push(...ANSWER.roomHolds(fixed(roomAir.vapourDensityGPerM3, 1), bandOf(roomAir)));
  return [...pieces, ANSWER.stop];
}

/** "80.1 °C and 3.6 %RH", as far as both are known. */
function valuesOf(station: StationState, format: Format): string | null {
  const [t, rh] = [usable(station, 't'), usable(station, 'rh')];
  const parts = [...(t === null ? [] : [inUnit(t, format)]), ...(rh === null ? [] : [humidity(rh)])];
  return parts.length === 2 ? ANSWER.and(parts[0]!, parts[1]!) : (parts[0] ?? null);
}

const troubleOf = (bench: Bench): string | null =>
  bench.sources.find((source) => source.trouble !== null)?.trouble ?? null;

function lookAt(facts: AnswerFacts, bench: Bench, quiet: readonly StationState[], others: number): Aside {
  const { format } = facts;
  const sourceRow = (source: SourceState) => [source.where, SOURCES.state(source.state)] as const;
  return {
    head: LOOK_AT.head,
    rows: [
      ...quiet.map(
        (station) =>
          [
            LOOK_AT.lastLine(nameIn(bench.stations, station)),
            station.heardMs === null ? LOOK_AT.never : format.clockWithSeconds(station.heardMs),
          ] as const,
      ),
      ...bench.sources.slice(0, 3).map(sourceRow),
      ...(others > 0 ? [[LOOK_AT.others(others), LOOK_AT.heard] as const] : []),
    ],
    note: LOOK_AT.note,
  };
}
