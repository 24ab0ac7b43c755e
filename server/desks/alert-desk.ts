/**
 * Alarms and news of the whole bench: gathers the facts every ten seconds of steady time, has them judged, and keeps
 * what a person does to them and sets.
 */
import { type AirWatch, createAirWatch, watchAir } from '../alerts/air-watch.ts';
import {
  acknowledgeAlarm,
  type Handled,
  openBook,
  type SavedAlerts,
  saveBook,
  shelveAlarm,
  unshelveAlarm,
} from '../alerts/book.ts';
import type { Facts } from '../alerts/facts.ts';
import { type Judgement, judgeAlerts } from '../alerts/judge.ts';
import { type AlertView, alertViews } from '../alerts/listing.ts';
import { createSay } from '../alerts/say.ts';
import { type AlertSettings, checkSettings, createSetRules, USUAL_SETTINGS } from '../alerts/settings.ts';
import { createWatches } from '../alerts/subjects.ts';
import type { Instant } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import type { DryingEstimate } from '../estimators/drying/estimate.ts';
import type { Job } from '../estimators/jobs/job.ts';
import type { SoakEstimate } from '../estimators/soak/estimate.ts';
import type { StationView } from '../intake/station.ts';
import type { ReadingRecord, Sample, UserEntry } from '../records.ts';
import { airOf, jobFacts, spoolFacts, stationFacts, waitingFacts } from './alert-facts.ts';
import type { How, SpoolView } from './spool-desk.ts';
import type { CeilingView } from './station-ceilings.ts';
import type { SteadyTime } from './steady-time.ts';
import type { WaitingJob } from './waiting-desk.ts';

export interface AlertSurroundings {
  stations(): readonly StationView[];
  spools(at: Instant): readonly SpoolView[];
  soak(at: Instant): readonly SoakEstimate[];
  ceilings(soak: readonly SoakEstimate[]): ReadonlyMap<string, CeilingView>;
  jobs(at: Instant): readonly Job[];
  waiting(): readonly WaitingJob[];
}

export interface AlertDesk {
  /**
   * A reading as the station took it in; flagged values are left out. Returns for history the openings of lids and doors
   * that it showed, or that were typed since: a 1 of `opened` at the beginning of each.
   */
  reading(
    record: Pick<ReadingRecord, 'station' | 'values' | 'flagged'>,
    source: string | null,
    at: Instant,
  ): readonly Sample[];
  /** `recalled`: told again after a restart, so that history has it already. */
  enter(entry: UserEntry, at: Instant, how?: How): void;
  /** The wall clock was set. */
  stepped(seconds: number, at: Instant): void;
  /** Once a second; null while the next look is not due. `storageTrouble`: why nothing can be written. */
  look(at: Instant, storageTrouble?: string | null): Judgement | null;
  acknowledge(id: string, at: Instant): Handled;
  shelve(id: string, forMs: number, reason: string, at: Instant): Handled;
  unshelve(id: string, at: Instant): Handled;
  /** What stands, what has returned unseen, what is shelved, and the news of the runs that go on. */
  views(at: Instant): readonly AlertView[];
  settings(): AlertSettings;
  /** Null: taken. Otherwise what is wrong, for a person. */
  set(settings: AlertSettings): string | null;
  save(at: Instant): SavedAlertDesk;
}

export interface SavedAlertDesk {
  readonly version: 1;
  readonly book: SavedAlerts;
  /** Through which source each station was last heard. */
  readonly sources: Readonly<Record<string, string>>;
  /** Since when spools lie out. */
  readonly out: Readonly<Record<string, number>>;
  readonly air: Readonly<Record<string, AirWatch>>;
}

export interface AlertDeskOptions {
  readonly saved?: SavedAlertDesk | null;
  readonly settings?: AlertSettings;
  /** Of the times in words; "UTC" where none is given. */
  readonly zone?: string;
}

const LOOK_MS = 10_000;
/** Estimates move slowly and cost more than a look. */
const ESTIMATES_MS = 60_000;
/** A clock that was set is spoken of for this long. */
const STEP_SHOWN_MS = 10 * 60_000;
/** Places whose heat is watched. */
const HEATED: ReadonlySet<string> = new Set(['drybox', 'chamber']);

export function createAlertDesk(
  bench: BenchConfig,
  steady: SteadyTime,
  around: AlertSurroundings,
  { saved = null, settings = USUAL_SETTINGS, zone = 'UTC' }: AlertDeskOptions = {},
): AlertDesk {
  const stations = new Map(bench.stations.map((station) => [station.id, station]));
  const stationIds = [...stations.keys()];
  const roomId = bench.stations.find(({ role }) => role === 'room')?.id ?? null;
  const sources = new Map(Object.entries(saved?.sources ?? {}).filter(([id]) => stations.has(id)));
  const out = new Map(Object.entries(saved?.out ?? {}));
  const air = new Map<string, AirWatch>(
    bench.stations.flatMap(({ id, role }) =>
      HEATED.has(role) ? [[id, structuredClone(saved?.air[id]) ?? createAirWatch()] as const] : [],
    ),
  );
  /** Typed since the station was last heard. */
  const lids = new Map<string, number>();
  const watches = createWatches();
  let book: ReturnType<typeof openBook> | null = null;
  let current = settings;
  let setRule = createSetRules(current);
  let lookedMs: number | null = null;
  let step: { steadyMs: number; seconds: number } | null = null;
  let estimates: {
    readonly minute: number;
    readonly drying: ReadonlyMap<string, DryingEstimate | null>;
    readonly soak: readonly SoakEstimate[];
  } | null = null;

  const opened = (at: Instant) => {
    book ??= openBook(saved?.book ?? null, at.wallMs);
    return book;
  };

  const factsAt = (at: Instant, storageTrouble: string | null): Facts => {
    const steadyMs = steady(at);
    const shiftMs = at.wallMs - steadyMs;
    const minute = Math.floor(steadyMs / ESTIMATES_MS);
    if (estimates?.minute !== minute)
      estimates = {
        minute,
        drying: new Map(around.spools(at).map(({ spool, estimate }) => [spool.id, estimate])),
        soak: around.soak(at),
      };
    const { drying, soak } = estimates;
    const ceilings = around.ceilings(soak);
    const views = around.stations();
    const room = views.find(({ id }) => id === roomId);
    const roomAir = room ? airOf(room) : null;
    return {
      stations: views.flatMap((view) => {
        const config = stations.get(view.id);
        if (!config) return [];
        return stationFacts({
          config,
          view,
          source: sources.get(view.id) ?? null,
          everHeard: sources.has(view.id) || view.heardMs !== null,
          watch: air.get(view.id) ?? null,
          ceiling: ceilings.get(view.id) ?? null,
          soak: soak.find(({ station }) => station === view.id) ?? null,
          roomAirC: roomAir?.kind === 'known' ? roomAir.value : null,
          steadyMs,
          shiftMs,
        });
      }),
      spools: bench.spools.map((spool) =>
        spoolFacts(spool, drying.get(spool.id) ?? null, out.get(spool.id) ?? null, shiftMs),
      ),
      jobs: [...jobFacts(around.jobs(at)), ...waitingFacts(around.waiting())],
      program: {
        clockStep:
          step && steadyMs - step.steadyMs < STEP_SHOWN_MS
            ? { atMs: step.steadyMs + shiftMs, seconds: step.seconds }
            : null,
        storageTrouble,
      },
    };
  };

  return {
    reading(record, source, at) {
      if (source !== null) sources.set(record.station, source);
      const watch = air.get(record.station);
      const airC = record.flagged?.includes('t') ? undefined : record.values['t'];
      const typed = lids.get(record.station);
      lids.delete(record.station);
      const opened = typed === undefined ? [] : [typed];
      if (watch && airC !== undefined) {
        const wasOpen = watch.opening !== null;
        watchAir(watch, steady(at), airC, stations.get(record.station)?.role === 'drybox');
        if (!wasOpen && watch.opening !== null)
          opened.push(Math.round(watch.opening.sinceMs + at.wallMs - steady(at)));
      }
      return opened.map((atMs) => ({
        station: record.station,
        key: 'opened',
        atMs,
        value: 1,
        flagged: false,
      }));
    },
    enter(entry, at, how = 'live') {
      const { spool, station } = entry;
      if (how === 'live' && entry.kind === 'lid' && typeof station === 'string')
        lids.set(station, Math.round(at.wallMs));
      if (typeof spool !== 'string') return;
      if (entry.kind === 'spool-out') out.set(spool, at.wallMs);
      else if (entry.kind === 'spool-in' || entry.kind === 'bagged' || entry.kind === 'run-start')
        out.delete(spool);
      estimates = null;
    },
    stepped(seconds, at) {
      step = { steadyMs: steady(at), seconds };
    },
    look(at, storageTrouble = null) {
      const steadyMs = steady(at);
      if (lookedMs !== null && Math.floor(steadyMs / LOOK_MS) === Math.floor(lookedMs / LOOK_MS)) return null;
      const elapsedMs = lookedMs === null ? 0 : steadyMs - lookedMs;
      lookedMs = steadyMs;
      const facts = factsAt(at, storageTrouble);
      return judgeAlerts(
        opened(at),
        facts,
        watches(facts),
        setRule,
        createSay(at.wallMs, zone, bench.stations),
        { nowMs: at.wallMs, elapsedMs },
      );
    },
    acknowledge: (id, at) => acknowledgeAlarm(opened(at), id, at.wallMs),
    shelve: (id, forMs, reason, at) => shelveAlarm(opened(at), id, forMs, reason, at.wallMs),
    unshelve: (id, at) => unshelveAlarm(opened(at), id, at.wallMs),
    views: (at) => alertViews(opened(at), at.wallMs),
    settings: () => current,
    set(wanted) {
      const wrong = checkSettings(wanted, stationIds);
      if (wrong !== null) return wrong;
      current = wanted;
      setRule = createSetRules(current);
      return null;
    },
    save: (at) => ({
      version: 1,
      book: saveBook(opened(at), at.wallMs),
      sources: Object.fromEntries(sources),
      out: Object.fromEntries(out),
      air: structuredClone(Object.fromEntries(air)),
    }),
  };
}
