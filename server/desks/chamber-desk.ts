/**
 * One soak tracker for each chamber: routes its readings, the room's and its doors to it, and brings the estimates out.
 * Trackers live in steady time, as the spools' do.
 */

import type { Instant } from '../clock.ts';
import type { BenchConfig, StationConfig } from '../config/bench.ts';
import type { SoakEstimate } from '../estimators/soak/estimate.ts';
import type { SoakSetup } from '../estimators/soak/priors.ts';
import type { SoakState } from '../estimators/soak/state.ts';
import { createSoakTracker, type SoakTracker } from '../estimators/soak/tracker.ts';
import type { ReadingRecord, Sample, SoakRecord, Transition, UserEntry } from '../records.ts';
import { shiftedSoak, soakRecord, soakSamples } from './chamber-records.ts';
import type { How } from './spool-desk.ts';
import type { SteadyTime } from './steady-time.ts';

export interface ChamberDesk {
  /** A reading as the station took it in; flagged values are left out. */
  reading(record: Pick<ReadingRecord, 'station' | 'values' | 'flagged'>, at: Instant, how?: How): void;
  /** A judged entry; a lid of a chamber is its door. */
  enter(entry: UserEntry, at: Instant, how?: How): void;
  estimates(at: Instant): readonly SoakEstimate[];
  records(at: Instant): readonly SoakRecord[];
  /** Samples of estimates fitted since last asked, for history; and state names that changed. */
  news(at: Instant): { readonly samples: readonly Sample[]; readonly transitions: readonly Transition[] };
  /** What the start check rests on; null for a station that is no chamber, or was never heard. */
  standing(station: string): { readonly setup: SoakSetup; readonly state: SoakState } | null;
  save(): Readonly<Record<string, SoakState>>;
}

interface Desk {
  readonly station: StationConfig;
  readonly setup: SoakSetup;
  tracker: SoakTracker | null;
  keptFitMs: number | null;
  toldState: SoakEstimate['state'] | null;
}

export function createChamberDesk(
  bench: BenchConfig,
  steady: SteadyTime,
  saved: Readonly<Record<string, SoakState>> = {},
): ChamberDesk {
  const roomId = bench.stations.find(({ role }) => role === 'room')?.id ?? null;
  const desks: Desk[] = bench.stations.flatMap((station) =>
    station.role === 'chamber'
      ? [
          {
            station,
            setup: {
              station: station.id,
              readyBandC: station.readyBandC,
              readyDriftCPer10Min: station.readyDriftCPer10Min,
              ...(station.openBelowC === null ? {} : { openBelowC: station.openBelowC }),
            },
            tracker: null,
            keptFitMs: null,
            toldState: null,
          },
        ]
      : [],
  );

  const trackerOf = (desk: Desk, atMs: number): SoakTracker => {
    desk.tracker ??= createSoakTracker(desk.setup, atMs, saved[desk.station.id]);
    return desk.tracker;
  };
  const knows = ({ station }: Desk, atMs: number, how: How): boolean =>
    how === 'recalled' && atMs <= (saved[station.id]?.atMs ?? Number.NEGATIVE_INFINITY);
  const estimates = (at: Instant): readonly { desk: Desk; estimate: SoakEstimate }[] => {
    const atMs = steady(at);
    return desks.flatMap((desk) =>
      desk.tracker ? [{ desk, estimate: shiftedSoak(desk.tracker.advance(atMs), at.wallMs - atMs) }] : [],
    );
  };

  return {
    reading(record, at, how = 'live') {
      const atMs = steady(at);
      const value = (key: string): number | null =>
        record.flagged?.includes(key) ? null : (record.values[key] ?? null);
      for (const desk of desks) {
        if (knows(desk, atMs, how)) continue;
        // A room alone is no reason to claim anything of a chamber that was never heard.
        if (record.station === roomId && desk.tracker)
          desk.tracker.observeRoom({ atMs, airTemperatureC: value('t') });
        if (record.station === desk.station.id)
          trackerOf(desk, atMs).observe({
            atMs,
            airTemperatureC: value('t'),
            bedTemperatureC: value('tb'),
            surfaceTemperatureC: value('ts'),
          });
      }
    },
    enter(entry, at, how = 'live') {
      if (entry.kind !== 'lid') return;
      const atMs = steady(at);
      for (const desk of desks)
        if (desk.station.id === entry['station'] && !knows(desk, atMs, how))
          trackerOf(desk, atMs).event({ kind: 'door', atMs });
    },
    estimates: (at) => estimates(at).map(({ estimate }) => estimate),
    records: (at) => estimates(at).map(({ estimate }) => soakRecord(estimate, at.wallMs)),
    news(at) {
      const samples: Sample[] = [];
      const transitions: Transition[] = [];
      for (const { desk, estimate } of estimates(at)) {
        if (estimate.fittedMs !== null && estimate.fittedMs !== desk.keptFitMs) {
          desk.keptFitMs = estimate.fittedMs;
          samples.push(...soakSamples(estimate));
        }
        if (estimate.state !== desk.toldState) {
          transitions.push({
            kind: 'soak-state',
            atMs: at.wallMs,
            station: estimate.station,
            detail: `Chamber ${estimate.station} is ${estimate.state}.`,
          });
          desk.toldState = estimate.state;
        }
      }
      return { samples, transitions };
    },
    standing(id) {
      const desk = desks.find(({ station }) => station.id === id);
      return desk?.tracker ? { setup: desk.setup, state: desk.tracker.save() } : null;
    },
    save: () =>
      Object.fromEntries(
        desks.flatMap((desk) => (desk.tracker ? [[desk.station.id, desk.tracker.save()]] : [])),
      ),
  };
}
