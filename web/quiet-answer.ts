/** Answers while nothing, or too little, is heard: nothing is claimed about a place that is silent. Pure. */
import type { SourceState, StationState } from '../server/api/messages.ts';
import { valuesOf } from './air-answer.ts';
import type { Answer, AnswerFacts, Aside } from './answer-facts.ts';
import type { Bench } from './bench-model.ts';
import { spoken } from './format.ts';
import type { Piece } from './pieces.ts';
import { lastKnown } from './spool-answer.ts';
import { nameIn } from './stations.ts';
import { ANSWER, LOOK_AT } from './words/answer.ts';
import { SOURCES } from './words/bench.ts';

export function nothingConnected(bench: Bench): Answer {
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

export function neverHeard(facts: AnswerFacts, bench: Bench): Answer {
  const names = bench.stations.map((station) => nameIn(bench.stations, station));
  return {
    heading: names.length <= 3 ? ANSWER.neverHeard(names) : ANSWER.neverHeardMany(names.length),
    tell: [ANSWER.neverHeardTell(troubleOf(bench))],
    aside: { ...lookAt(facts, bench, [], 0), note: '' },
  };
}

export function allQuiet(facts: AnswerFacts, bench: Bench, heard: readonly StationState[]): Answer {
  const lastMs = Math.max(...heard.map((station) => station.heardMs ?? 0));
  return {
    heading: ANSWER.allQuiet(spoken(facts.nowMs - lastMs)),
    tell: [ANSWER.allQuietTell(troubleOf(bench))],
    aside: lookAt(facts, bench, heard.slice(0, 3), 0),
  };
}

export function someQuiet(
  facts: AnswerFacts,
  bench: Bench,
  missed: readonly StationState[],
  speaking: readonly StationState[],
  /** What is still known of a place that is heard. */
  still: readonly Piece[],
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
  if (still.length > 0) tell.push(tell.length > 0 ? ' ' : '', ...still);
  if (others !== '') tell.push(tell.length > 0 ? ' ' : '', others);
  return {
    heading,
    tell,
    aside: lookAt(facts, bench, lead.slice(0, 3), speaking.length),
  };
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
