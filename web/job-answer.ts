/** The answer while a job runs: what is out of its window now, else what was, else that it goes as it should. Pure. */
import type { StationState } from '../server/api/messages.ts';
import type { JobState } from '../server/api/messages-jobs.ts';
import type { Aside } from './answer-facts.ts';
import { age, type Format, moisture, moistureRange, range, spoken, withUnit } from './format.ts';
import type { Piece } from './pieces.ts';
import { nameIn } from './stations.ts';
import { grams } from './usable.ts';
import { RUNNING } from './words/running.ts';
import { SPOOL } from './words/spool.ts';

export type Excursion = JobState['excursions'][number];

export interface JobFacts {
  readonly job: JobState;
  readonly stations: readonly StationState[];
  readonly nowMs: number;
  readonly format: Format;
}

export interface JobAnswer {
  readonly say: readonly Piece[];
  readonly tell: readonly Piece[];
  readonly aside: Aside;
}

/** The worse stands first: what spoils the part before what only threatens it. */
const ORDER: readonly Excursion['kind'][] = [
  'turn-too-wet',
  'chamber-off',
  'feed-air',
  'door',
  'quiet',
  'pause',
];
/** A minute of a job is counted with its hours. */
const MINUTE = 60_000;

export function jobAnswer(facts: JobFacts): JobAnswer {
  const { job } = facts;
  const open = ORDER.flatMap(
    (kind) => job.excursions.find((one) => one.kind === kind && one.toMs === null) ?? [],
  );
  const first = open[0];
  const past = job.excursions.filter((one) => one.toMs !== null && one.kind !== 'pause');
  const last = past.at(-1);
  return {
    say: [first ? sayNow(facts, first) : job.state === 'paused' ? RUNNING.paused(job.name) : sayHeld(past)],
    tell: [
      ...(first ? tellNow(facts, first) : last ? [tellPast(facts, last)] : []),
      RUNNING.done(hours(job.printedMs), hours(job.hours * 60 * MINUTE)),
      ...fedTurn(job),
    ],
    aside: asideOf(facts, past.length + open.filter((one) => one.kind !== 'pause').length),
  };
}

const hours = (ms: number): string => age(MINUTE * Math.floor(ms / MINUTE + 1e-6));

const percent = (value: number): string => SPOOL.percent(moisture(value));

const fedTurn = ({ fedWtPercent: fed, limitWtPercent }: JobState): Piece[] =>
  fed === null ? [] : RUNNING.fed(percent(fed.p50), moistureRange(fed), fed.p50 <= limitWtPercent);

function placeOf({ stations }: JobFacts, id: string | null): string {
  const station = stations.find((one) => one.id === id);
  return station ? nameIn(stations, station) : (id ?? '');
}

const inUnit = (celsius: number, format: Format): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);

function sayNow(facts: JobFacts, one: Excursion): string {
  const where = placeOf(facts, one.station);
  const { now } = RUNNING;
  switch (one.kind) {
    case 'turn-too-wet':
      return now[one.kind](one.worst === null ? null : percent(one.worst), limitOf(one));
    case 'chamber-off': {
      const station = facts.stations.find(({ id }) => id === one.station);
      const celsius = station?.values['t'];
      return now[one.kind](where, celsius === undefined ? null : inUnit(celsius, facts.format));
    }
    case 'door':
    case 'feed-air':
      return now[one.kind](where);
    case 'pause':
      return RUNNING.paused(facts.job.name);
    default:
      return now.quiet;
  }
}

const limitOf = ({ limit }: Excursion): string | null => (limit === null ? null : percent(limit));

function tellNow({ job, format, nowMs }: JobFacts, one: Excursion): Piece[] {
  const since = RUNNING.since(format.when(one.fromMs, nowMs));
  if (one.kind === 'chamber-off' && job.referenceC !== null)
    return [
      since,
      RUNNING.held2(
        format.temperature(job.referenceC - job.bandC),
        inUnit(job.referenceC + job.bandC, format),
      ),
    ];
  if (one.kind === 'feed-air' && one.worst !== null && one.limit !== null)
    return [since, RUNNING.feedAirTell(percent(one.worst), percent(one.limit))];
  return [since];
}

function sayHeld(past: readonly Excursion[]): string {
  if (past.length === 0) return RUNNING.held;
  // An open door takes the air out of its band: the two are one thing that happened.
  const doors = past.filter(({ kind }) => kind === 'door');
  const others = past.filter((one) => one.kind !== 'door' && !isOfDoor(one, doors));
  return others.length === 0 ? RUNNING.butDoors(doors.length) : RUNNING.butOnce(doors.length + others.length);
}

/** So long after a door was shut the air may still leave its band for it. */
const AFTER_DOOR_MS = 10 * MINUTE;
const isOfDoor = (one: Excursion, doors: readonly Excursion[]): boolean =>
  one.kind === 'chamber-off' &&
  doors.some(
    (door) => one.fromMs >= door.fromMs - MINUTE && one.fromMs <= (door.toMs ?? door.fromMs) + AFTER_DOOR_MS,
  );

function tellPast(facts: JobFacts, one: Excursion): string {
  const { format, nowMs } = facts;
  const clock = format.when(one.fromMs, nowMs);
  const lasted = spoken((one.toMs ?? nowMs) - one.fromMs);
  if (one.kind === 'chamber-off' && one.worst !== null && one.limit !== null) {
    const say = one.worst < one.limit ? RUNNING.past.fell : RUNNING.past.rose;
    return say(clock, placeOf(facts, one.station), inUnit(one.worst, format), lasted);
  }
  if (one.kind === 'door') return RUNNING.past.door(clock, lasted);
  return RUNNING.past.other(clock, RUNNING.kinds[one.kind], lasted);
}

function asideOf({ job, format, nowMs }: JobFacts, excursions: number): Aside {
  const { aside } = RUNNING;
  const air = job.measures['chamberC'];
  const endsMs = nowMs + job.hours * 60 * MINUTE - job.printedMs;
  return {
    head: aside.head,
    rows: [
      ...(air
        ? [
            [
              aside.chamber,
              withUnit(
                range(format.shownTemperature(air.min), format.shownTemperature(air.max), 1),
                format.temperatureUnit,
              ),
            ] as const,
          ]
        : []),
      [aside.fed, aside.fedOf(grams(job.fedG), grams(job.grams))],
      [aside.excursions, excursions === 0 ? aside.none : aside.times(excursions)],
    ],
    note:
      endsMs <= nowMs ? aside.over : job.state === 'paused' ? '' : aside.ends(format.about(endsMs, nowMs)),
  };
}
