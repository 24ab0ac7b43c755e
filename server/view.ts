/**
 * What the page is shown: the engine's stations and the links' sources in wire shapes, a snapshot on asking and
 * changes as they come, gathered for a moment so that a busy board costs one message and not a hundred.
 */
import type { Change, Snapshot, SourceState, SpoolState, StationState } from './api/messages.ts';
import type { Alert } from './api/messages-alerts.ts';
import type { Ceiling, ChamberState } from './api/messages-chamber.ts';
import type { JobState } from './api/messages-jobs.ts';
import type { Cancel, Clock } from './clock.ts';
import type { Engine } from './engine.ts';
import type { StationView } from './intake/station.ts';
import type { Role, Sample } from './records.ts';

export interface ViewParts {
  readonly engine: Engine;
  readonly roles: ReadonlyMap<string, Role>;
  /** Bench time, for labels. */
  readonly clock: Clock;
  readonly speed: number;
  readonly simulated: Snapshot['simulated'];
  readonly version: string;
  sources(): readonly SourceState[];
  spools(): readonly SpoolState[];
  chambers(): readonly ChamberState[];
  /** Newest first. */
  jobs(): readonly JobState[];
  alerts(): readonly Alert[];
  ceiling(station: string): Ceiling | null;
  historyTrouble(): string | null;
}

export interface View {
  snapshot(): Snapshot;
  subscribe(listener: (change: Change) => void): Cancel;
  stationsChanged(ids: readonly string[]): void;
  sourceChanged(id: string): void;
  /** An estimate of a spool or a chamber was made anew, or a job has moved on. */
  estimatesChanged(): void;
  alertsChanged(): void;
  samples(samples: readonly Sample[]): void;
  /** Sends what has gathered; the caller decides how often. `always`: even nothing, as a sign of life. */
  flush(always?: boolean): void;
}

/** Points waiting for one flush; a board that floods faster is told of by its newest ones, the rest is in history. */
const MOST_POINTS = 2000;

export function createView(parts: ViewParts): View {
  const listeners = new Set<(change: Change) => void>();
  const stations = new Set<string>();
  const sources = new Set<string>();
  let points: Sample[] = [];
  let estimatesChanged = false;
  let alertsChanged = false;
  let sequence = 0;
  let toldTrouble: string | null = null;
  let toldSimulated = false;
  /** Readings of a board that says it is simulated are never shown as real ones. */
  const simulated = (): Snapshot['simulated'] =>
    parts.simulated ??
    (parts.engine.hearsSimulation()
      ? { scenario: 'a board here says that it is simulated', speed: parts.speed }
      : null);

  const wireStation = (view: StationView): StationState => ({
    id: view.id,
    role: parts.roles.get(view.id) ?? 'room',
    heardMs: view.heardMs,
    intervalMs: view.intervalMs,
    quiet: view.quiet || view.heardMs === null,
    checked: view.checked,
    values: view.values,
    calibratedOn: view.calibratedOn,
    flagged: [...view.flagged],
    faults: view.faults,
    air: view.air,
    ceiling: parts.ceiling(view.id),
    counts: view.counts,
  });

  return {
    snapshot: () => ({
      type: 'snapshot',
      sequence,
      atMs: parts.clock.now().wallMs,
      speed: parts.speed,
      simulated: simulated(),
      version: parts.version,
      historyTrouble: parts.historyTrouble(),
      stations: parts.engine.stationViews().map(wireStation),
      sources: [...parts.sources()],
      spools: [...parts.spools()],
      chambers: [...parts.chambers()],
      jobs: shownJobs(parts.jobs()),
      alerts: [...parts.alerts()],
      unknownStations: [...parts.engine.unknownStations()],
    }),
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    stationsChanged(ids) {
      for (const id of ids) stations.add(id);
    },
    sourceChanged(id) {
      sources.add(id);
    },
    estimatesChanged() {
      estimatesChanged = true;
    },
    alertsChanged() {
      alertsChanged = true;
    },
    samples(samples) {
      for (const sample of samples) if (!sample.flagged) points.push(sample);
      if (points.length > MOST_POINTS) points = points.slice(-MOST_POINTS);
    },
    flush(always = false) {
      const trouble = parts.historyTrouble();
      const nowSimulated = simulated();
      const turned = (nowSimulated !== null) !== toldSimulated;
      const nothing =
        !turned &&
        stations.size + sources.size + points.length === 0 &&
        !estimatesChanged &&
        !alertsChanged &&
        trouble === toldTrouble;
      if (nothing && !always) return;
      sequence++;
      const change: Change = {
        type: 'change',
        sequence,
        atMs: parts.clock.now().wallMs,
        ...(turned ? { simulated: nowSimulated } : {}),
        ...(trouble === toldTrouble ? {} : { historyTrouble: trouble }),
        ...(stations.size === 0
          ? {}
          : {
              stations: parts.engine
                .stationViews()
                .filter(({ id }) => stations.has(id))
                .map(wireStation),
            }),
        ...(sources.size === 0
          ? {}
          : {
              sources: parts.sources().filter(({ id }) => sources.has(id)),
              unknownStations: [...parts.engine.unknownStations()],
            }),
        ...(estimatesChanged
          ? { spools: [...parts.spools()], chambers: [...parts.chambers()], jobs: shownJobs(parts.jobs()) }
          : {}),
        ...(alertsChanged ? { alerts: [...parts.alerts()] } : {}),
        ...(points.length === 0
          ? {}
          : { points: points.map(({ station, key, atMs, value }) => ({ station, key, atMs, value })) }),
      };
      toldTrouble = trouble;
      toldSimulated = nowSimulated !== null;
      stations.clear();
      sources.clear();
      points = [];
      estimatesChanged = false;
      alertsChanged = false;
      for (const listener of listeners) listener(change);
    },
  };
}

/** All attempts are asked for; a page that opens needs what runs, and the one before it. */
function shownJobs(jobs: readonly JobState[]): JobState[] {
  const lastEnded = jobs.find(({ state }) => state === 'ended');
  return jobs.filter((job) => job.state !== 'ended' || job === lastEnded);
}
