/**
 * The whole of lowdew's judgement behind one door: a line or a tick goes in, samples, changed stations and transitions
 * come out. It asks no clock, opens nothing and draws nothing at random, so that a replay is the live program again.
 */
import type { LineHello, LineReading } from '../firmware-protocol/line.ts';
import type { Instant } from './clock.ts';
import type { BenchConfig } from './config/bench.ts';
import { type AlertDesk, type AlertDeskOptions, createAlertDesk } from './desks/alert-desk.ts';
import { createChamberDesk } from './desks/chamber-desk.ts';
import { createJobDesk } from './desks/job-desk.ts';
import { JOB_ENTRIES } from './desks/job-entries.ts';
import { createSpoolDesk, type How, type SpoolView } from './desks/spool-desk.ts';
import type { Entered } from './desks/spool-entries.ts';
import { type ChancesAnswer, createStartDesk, type StartAnswer, type StartAsk } from './desks/start-desk.ts';
import { airHeard, airNow } from './desks/station-air.ts';
import { type CeilingView, judgeStations } from './desks/station-ceilings.ts';
import { createSteadyTime } from './desks/steady-time.ts';
import type { WaitingJob } from './desks/waiting-desk.ts';
import type { DryingState } from './estimators/drying/state.ts';
import type { Job } from './estimators/jobs/job.ts';
import type { SoakEstimate } from './estimators/soak/estimate.ts';
import type { SoakState } from './estimators/soak/state.ts';
import { recordFacts } from './intake/air.ts';
import { createBoardBook } from './intake/board-book.ts';
import { ahead, arrive } from './intake/board-tracker.ts';
import type { RestartCounts } from './intake/restarts.ts';
import { createStation, type Station, type StationView } from './intake/station.ts';
import type {
  AirRecord,
  BoardSummary,
  DryingRecord,
  JobRecord,
  ReadingRecord,
  Sample,
  SoakRecord,
  StationSummary,
  Transition,
  UserEntry,
} from './records.ts';

export interface Outcome {
  /** The reading as a record; null for a hello, a repeated line, or a station the bench does not know. */
  readonly reading: ReadingRecord | null;
  readonly samples: readonly Sample[];
  /** Ids of stations whose view changed. */
  readonly changed: readonly string[];
  readonly transitions: readonly Transition[];
}

export interface Engine {
  accept(source: string, line: LineReading | LineHello, checked: boolean, at: Instant): Outcome;
  /** Once a second; alone notices silence and a stepped wall clock. */
  tick(at: Instant): Outcome;
  /** The air record of a station at an instant, after that second's readings; null where nothing is known. */
  airRecord(station: string, atMs: number): AirRecord | null;
  /** A reading that history kept, told again after a restart: to the spools alone. */
  recall(station: string, values: Readonly<Record<string, number>>, at: Instant): void;
  /** Likewise an entry of the diary. */
  recallEntry(entry: UserEntry, at: Instant): Entered;
  /** What a person enters: a weigh-in, a lid, a spool put in or taken out. */
  enter(entry: UserEntry, at: Instant): Entered;
  /** What `enter` would answer, without doing it. */
  judge(entry: UserEntry): Entered;
  dryingRecords(at: Instant): readonly DryingRecord[];
  /** Once a minute: estimates fitted since, for history, and what changed. */
  minute(at: Instant): Outcome;
  spoolViews(at: Instant): readonly SpoolView[];
  soakRecords(at: Instant): readonly SoakRecord[];
  jobRecords(at: Instant): readonly JobRecord[];
  /** Newest first. */
  jobs(at: Instant): readonly Job[];
  waitingJobs(): readonly WaitingJob[];
  startCheck(ask: StartAsk, at: Instant): StartAnswer;
  startChances(ask: StartAsk, at: Instant): ChancesAnswer;
  soakEstimates(at: Instant): readonly SoakEstimate[];
  /** Of each station where anything has a ceiling. */
  ceilings(at: Instant): ReadonlyMap<string, CeilingView>;
  /** Looks by itself at what it needs; the driver calls `look` after each tick. */
  readonly alerts: AlertDesk;
  /** What must outlive a restart, as JSON. */
  save(): SavedEngine;
  stationViews(): readonly StationView[];
  boardSummaries(): readonly BoardSummary[];
  stationSummaries(): Readonly<Record<string, StationSummary>>;
  /** How often the boards of each source began again, by cause. */
  restarts(): Readonly<Record<string, RestartCounts>>;
  unknownStations(): readonly string[];
  /** A board's hello says that nothing real stands behind it. */
  hearsSimulation(): boolean;
}

export interface SavedEngine {
  readonly drying: Readonly<Record<string, DryingState>>;
  readonly soak: Readonly<Record<string, SoakState>>;
  readonly jobs: Readonly<Record<string, Job>>;
  /** Jobs that wait for spool and chamber. */
  readonly waiting: Readonly<Record<string, WaitingJob>>;
}

/** Stations remembered for one boot of one board. */
const MOST_STATIONS_OF_A_BOARD = 64;
/** Names of stations that speak and are not in the bench file. */
const MOST_UNKNOWN = 32;
/** A wall clock that moves against the monotonic one by more than this was stepped. */
const STEP_MS = 2000;

/**
 * `quietLeastMs`: silence shorter than this is never remarked on; a bench that runs many times as fast as life needs
 * more of its own time for the same hiccup of the computer.
 */
export function createEngine(
  bench: BenchConfig,
  saved: SavedEngine = { drying: {}, soak: {}, jobs: {}, waiting: {} },
  quietLeastMs?: number,
  alerting: AlertDeskOptions = {},
): Engine {
  const steady = createSteadyTime();
  const spools = createSpoolDesk(bench, steady, saved.drying, (id) => jobs.taken(id));
  const chambers = createChamberDesk(bench, steady, saved.soak);
  const starts = createStartDesk(steady, {
    spool: spools.standing,
    chamber: chambers.standing,
    takenG: (id) => jobs.taken(id).plannedG,
  });
  const stations = new Map<string, Station>(
    bench.stations.map((config) => [config.id, createStation(config, bench.pressurePa, quietLeastMs)]),
  );
  const boards = createBoardBook();
  const unknown = new Set<string>();
  let wallAheadMs: number | null = null;

  const jobs = createJobDesk(
    bench,
    steady,
    {
      air: (id) => airHeard(stations.get(id)),
      drying: (id, at) => spools.views(at).find(({ spool }) => spool.id === id)?.estimate ?? null,
      soak: (id, at) => chambers.estimates(at).find(({ station }) => station === id) ?? null,
      pSpool(plan, at) {
        const { spool, grams, hours, exitOpen } = plan;
        const answer = starts.check(
          { spool, grams, hours, exitOpen, chamber: null, chamberC: null, boxC: null, tube: null },
          at,
        );
        return answer.ok ? (answer.finding.ifNow?.pSpool ?? null) : null;
      },
      start: ({ spool, chamber, grams, hours, chamberC, exitOpen }, at) =>
        starts.check({ spool, chamber, grams, hours, chamberC, exitOpen, boxC: null, tube: null }, at),
    },
    saved.jobs,
    saved.waiting,
  );
  const ceilings = (soak: readonly SoakEstimate[]) =>
    judgeStations(bench, { airC: (id) => airNow(stations.get(id)), parts: boards.partsOf, soak });
  const stationViews = () => [...stations.values()].map((station) => station.view());
  const alerts = createAlertDesk(
    bench,
    steady,
    {
      stations: stationViews,
      spools: (at) => spools.views(at),
      soak: (at) => chambers.estimates(at),
      ceilings,
      jobs: (at) => jobs.jobs(at),
      waiting: () => jobs.waiting(),
    },
    alerting,
  );
  const judge = (entry: UserEntry): Entered =>
    JOB_ENTRIES.has(entry.kind) ? jobs.judge(entry) : spools.judge(entry);
  const enter = (entry: UserEntry, at: Instant, how: How): Entered => {
    if (JOB_ENTRIES.has(entry.kind)) return jobs.enter(entry, at);
    const entered = spools.enter(entry, at, how);
    if (!entered.ok) return entered;
    chambers.enter(entry, at, how);
    alerts.enter(entry, at, how);
    return entered;
  };
  const NOTHING: Outcome = { reading: null, samples: [], changed: [], transitions: [] };

  return {
    accept(source, line, checked, at) {
      const atMs = at.wallMs;
      const { board: found, news: transitions } = boards.find(source, line, atMs);
      if (line.kind === 'hello') {
        transitions.push(...boards.hello(found, line, atMs));
        return { ...NOTHING, transitions };
      }
      const before = found.lastByStation.get(line.station);
      const repeats = before?.seq === line.seq && before.uptimeMs === line.uptimeMs;
      const arrival = arrive(found.state, line, repeats);
      found.state = arrival.state;
      if (arrival.verdict === 'duplicate' || arrival.verdict === 'late') return { ...NOTHING, transitions };
      if (arrival.verdict === 'reset') {
        found.lastByStation.clear();
        transitions.push({
          kind: 'board-reset',
          atMs,
          source,
          detail: `The board on ${source} began its counters again under the same boot id ${line.boot}.`,
        });
      }
      if (found.lastByStation.size < MOST_STATIONS_OF_A_BOARD || before)
        found.lastByStation.set(line.station, { seq: line.seq, uptimeMs: line.uptimeMs });
      if (arrival.lost > 0)
        transitions.push({
          kind: 'lines-lost',
          atMs,
          source,
          detail: `${arrival.lost} line${arrival.lost === 1 ? '' : 's'} of the board on ${source} never arrived.`,
        });
      const station = stations.get(line.station);
      if (!station) {
        if (!unknown.has(line.station) && unknown.size < MOST_UNKNOWN) {
          unknown.add(line.station);
          transitions.push({
            kind: 'unknown-station',
            atMs,
            source,
            detail: `Station "${line.station}" speaks on ${source} but is not in the bench file.`,
          });
        }
        return { ...NOTHING, transitions };
      }
      const goesOn = before !== undefined && arrival.verdict !== 'reset';
      // A board that begins again may stand in other air than a moment ago: rhythm and minute begin anew.
      if (!goesOn) {
        station.forgetRhythm();
        station.forgetMinute();
      }
      const gapMs = goesOn ? ahead(line.uptimeMs, before.uptimeMs) : null;
      const taken = station.take(line, checked, at, gapMs);
      spools.reading(taken.used, at);
      chambers.reading(taken.used, at);
      const openings = alerts.reading(taken.used, source, at);
      if (taken.woke)
        transitions.push({
          kind: 'station-heard',
          atMs,
          station: line.station,
          detail: `${line.station} is heard.`,
        });
      const samples = openings.length === 0 ? taken.samples : [...taken.samples, ...openings];
      return { reading: taken.record, samples, changed: [line.station], transitions };
    },

    tick(at) {
      const transitions: Transition[] = [];
      const changed: string[] = [];
      const aheadMs = at.wallMs - at.monotonicMs;
      if (wallAheadMs !== null && Math.abs(aheadMs - wallAheadMs) > STEP_MS) {
        const seconds = Math.round((aheadMs - wallAheadMs) / 1000);
        transitions.push({
          kind: 'clock-stepped',
          atMs: at.wallMs,
          detail: `The computer's clock was set ${seconds > 0 ? 'forward' : 'back'} by ${Math.abs(seconds)} s.`,
        });
        alerts.stepped(seconds, at);
        for (const station of stations.values()) station.forgetMinute();
      }
      wallAheadMs = aheadMs;
      for (const [id, station] of stations) {
        if (!station.judgeQuiet(at)) continue;
        changed.push(id);
        if (station.view().quiet)
          transitions.push({
            kind: 'station-quiet',
            atMs: at.wallMs,
            station: id,
            detail: `${id} has gone quiet.`,
          });
      }
      transitions.push(...jobs.tick(at));
      return { reading: null, samples: [], changed, transitions };
    },

    airRecord(id, atMs) {
      const facts = stations.get(id)?.airAt(atMs);
      if (!facts) return null;
      return { at: new Date(atMs).toISOString(), kind: 'air', station: id, ...recordFacts(facts) };
    },
    recall(station, values, at) {
      spools.reading({ station, values }, at, 'recalled');
      chambers.reading({ station, values }, at, 'recalled');
      alerts.reading({ station, values }, null, at);
    },
    recallEntry: (entry, at) => enter(entry, at, 'recalled'),
    judge,
    enter: (entry, at) => enter(entry, at, 'live'),
    dryingRecords: (at) => spools.records(at),
    soakRecords: (at) => chambers.records(at),
    jobRecords: (at) => jobs.records(at),
    jobs: (at) => jobs.jobs(at),
    waitingJobs: () => jobs.waiting(),
    startCheck: (ask, at) => starts.check(ask, at),
    startChances: (ask, at) => starts.chances(ask, at),
    minute(at) {
      const ofSpools = spools.news(at);
      const ofChambers = chambers.news(at);
      return {
        ...NOTHING,
        samples: [...ofSpools.samples, ...ofChambers.samples, ...jobs.samples(at)],
        transitions: [...ofSpools.transitions, ...ofChambers.transitions],
      };
    },
    spoolViews: (at) => spools.views(at),
    soakEstimates: (at) => chambers.estimates(at),
    ceilings: (at) => ceilings(chambers.estimates(at)),
    alerts,
    save: () => ({
      drying: spools.save(),
      soak: chambers.save(),
      jobs: jobs.save(),
      waiting: jobs.saveWaiting(),
    }),
    stationViews,
    boardSummaries: () => boards.summaries(),
    stationSummaries: () => Object.fromEntries([...stations].map(([id, station]) => [id, station.summary()])),
    restarts: () => boards.restarts(),
    unknownStations: () => [...unknown],
    hearsSimulation: () => boards.hearsSimulation(),
  };
}
