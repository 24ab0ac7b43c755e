/**
 * The answer a person could say aloud, from what is known. Pure. A ceiling that is passed comes first; then quiet beats
 * everything: while a station the answer rests on is silent, the heading says so and nothing is claimed about it.
 */
import type { StationState } from '../server/api/messages.ts';
import { allHeard, inUnit, sensorFault } from './air-answer.ts';
import type { Answer, AnswerFacts } from './answer-facts.ts';
import type { Bench } from './bench-model.ts';
import { ceilingAhead, ceilingNear, ceilingPassed } from './ceiling-answer.ts';
import { type ChamberFacts, chamberAnswer, chamberSentence } from './chamber-answer.ts';
import { spoken } from './format.ts';
import { jobAnswer } from './job-answer.ts';
import { calledDry, jointAnswer } from './joint-answer.ts';
import { plainText } from './pieces.ts';
import { allQuiet, neverHeard, nothingConnected, someQuiet } from './quiet-answer.ts';
import { withStart } from './start-answer.ts';
import { nameIn, usable } from './stations.ts';
import { ANSWER } from './words/answer.ts';
import { SPOOL } from './words/spool.ts';

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
  return (
    tooHot(facts, bench, ceilingPassed) ??
    ofQuiet(facts, bench, speaking) ??
    sensorFault(facts, bench) ??
    tooHot(facts, bench, ceilingAhead) ??
    ofJob(facts, bench) ??
    ofSpool(facts, bench) ??
    ofChamber(facts, bench) ??
    allHeard(facts, bench, speaking)
  );
}

function tooHot(
  { nowMs, format, ...facts }: AnswerFacts,
  bench: Bench,
  find: typeof ceilingPassed,
): Answer | null {
  const found = find({ stations: bench.stations, chambers: bench.chambers, nowMs, format });
  if (!found) return null;
  const missed = bench.stations.filter((one) => one.quiet && one.heardMs !== null && restsOn(facts, one));
  return {
    heading: plainText(found.say),
    say: found.say,
    tell: [
      ...found.tell,
      ...missed.map(
        (one) =>
          ` ${ANSWER.quietAside([nameIn(bench.stations, one)], spoken(nowMs - (one.heardMs ?? nowMs)))}`,
      ),
    ],
    aside: null,
  };
}

function ofQuiet(facts: AnswerFacts, bench: Bench, speaking: readonly StationState[]): Answer | null {
  const missed = bench.stations.filter((station) => station.quiet && restsOn(facts, station));
  if (missed.length === 0) return null;
  const chamber = chamberFacts(facts, bench);
  return someQuiet(facts, bench, missed, speaking, chamber ? chamberSentence(chamber) : []);
}

/**
 * A job rests on its box and its chamber, a spool on its own station; one that is dry waits for the chamber alone.
 * Another one's silence is told beneath. A cabinet of electronics may fall silent without anything being unknown.
 */
function restsOn(facts: Pick<AnswerFacts, 'spool' | 'chamber' | 'job'>, station: StationState): boolean {
  const { spool, chamber, job } = facts;
  if (job && station.id === job.chamber) return true;
  if (!spool?.drying) return station.role !== 'electronics';
  const waits = chamber?.station === station.id && chamber.heatOnMs !== null;
  return station.id === spool.station || (waits && calledDry(spool));
}

/** Of a chamber that is heard. */
function chamberFacts(
  { cast, chamber, spool, nowMs, format }: AnswerFacts,
  bench: Bench,
): ChamberFacts | null {
  const station = cast.chamber;
  if (!station || !chamber || chamber.station !== station.id || station.quiet) return null;
  if (usable(station, 't') === null || spool?.station === station.id) return null;
  return { chamber, station, where: nameIn(bench.stations, station), nowMs, format };
}

function ofJob(facts: AnswerFacts, bench: Bench): Answer | null {
  const { job, connection, lostSinceMs, nowMs, format } = facts;
  if (!job) return null;
  const { stations, spools } = bench;
  const { say, tell, aside } = jobAnswer(job, { connection, lostSinceMs, stations, spools, nowMs, format });
  return { heading: plainText(say), say, tell, aside };
}

function ofSpool(facts: AnswerFacts, bench: Bench): Answer | null {
  const { spool, asked, nowMs, format } = facts;
  const station = bench.stations.find((one) => one.id === spool?.station);
  if (!spool?.drying || !station) return null;
  const where = nameIn(bench.stations, station);
  const chamber = chamberFacts(facts, bench);
  const joint = jointAnswer(
    { spool: { ...spool, drying: spool.drying }, where, nowMs, format },
    station,
    chamber,
  );
  const { say, tell, help } = asked?.spool === spool.id ? withStart(joint, asked, nowMs, format) : joint;
  const more = [
    ...(bench.stations.some((one) => one.role === 'room') ? [] : [SPOOL.noRoom]),
    ...restOf(facts, bench, station, chamber !== null),
    ...ceilingNear(bench, format),
  ];
  return {
    heading: plainText(say),
    say,
    tell: [...tell, ...more.map((sentence) => ` ${sentence}`)],
    aside: help === null ? null : { head: SPOOL.help, rows: [], note: help },
  };
}

/** A chamber that is heated, or cools: the answer where there is no spool to wait for. */
function ofChamber(facts: AnswerFacts, bench: Bench): Answer | null {
  const chamber = chamberFacts(facts, bench);
  const answer = chamber && chamberAnswer(chamber);
  if (!answer) return null;
  const near = ceilingNear(bench, facts.format);
  return {
    heading: plainText(answer.say),
    say: answer.say,
    tell: [...answer.tell, ...near.map((sentence) => ` ${sentence}`)],
    aside: null,
  };
}

/** What is known of a chamber of which nothing is estimated, and which other place that matters has fallen silent. */
function restOf(facts: AnswerFacts, bench: Bench, own: StationState, chamberSaid: boolean): string[] {
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
    else if (station === cast.chamber && !chamberSaid)
      said.push(
        celsius === null ? ANSWER.temperatureFault(where) : ANSWER.chamberAt(where, inUnit(celsius, format)),
      );
  }
  return said;
}
