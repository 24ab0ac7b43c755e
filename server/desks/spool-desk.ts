/**
 * One drying tracker for each spool: routes a station's readings, the room's and what a person enters to the spools
 * they bear on, and brings the estimates out as records.
 *
 * Trackers live in steady time; a wall clock that is set later moves the labels, never the run.
 */
import type { Instant } from '../clock.ts';
import { type BenchConfig, SPOOL_ROLES, type SpoolConfig, type StationConfig } from '../config/bench.ts';
import type { DryingState } from '../estimators/drying/state.ts';
import {
  createDryingTracker,
  type DryingEstimate,
  type DryingSetup,
  type DryingTracker,
} from '../estimators/drying/tracker.ts';
import { NOTHING_TAKEN, type Taken } from '../estimators/jobs/taken.ts';
import { findMaterial } from '../physics/materials.ts';
import type { DryingRecord, ReadingRecord, Sample, Transition, UserEntry } from '../records.ts';
import { estimateSamples, shifted, toRecord } from './drying-records.ts';
import { type Entered, eventOf, judgeEntry } from './spool-entries.ts';
import type { SteadyTime } from './steady-time.ts';
import { lessTaken, tellsWater, weighedWhole } from './taken-filament.ts';

/** `recalled`: told again after a restart, so each tracker hears only what came after it was written down. */
export type How = 'live' | 'recalled';

export interface SpoolDesk {
  /** A reading as the station took it in; flagged values are left out. */
  reading(record: Pick<ReadingRecord, 'station' | 'values' | 'flagged'>, at: Instant, how?: How): void;
  /** What `enter` would answer, without doing it. */
  judge(entry: UserEntry): Entered;
  enter(entry: UserEntry, at: Instant, how?: How): Entered;
  records(at: Instant): readonly DryingRecord[];
  /** Samples of estimates fitted since last asked, for history; and state names that changed. */
  news(at: Instant): { readonly samples: readonly Sample[]; readonly transitions: readonly Transition[] };
  views(at: Instant): readonly SpoolView[];
  /** What the start check rests on; null for a spool that is not there, or of which nothing was heard. */
  standing(spool: string): { readonly setup: DryingSetup; readonly state: DryingState } | null;
  save(): Readonly<Record<string, DryingState>>;
}

/** A spool as it was described, with what is estimated of it; null before the first reading that bears on it. */
export interface SpoolView {
  readonly spool: SpoolConfig;
  readonly taken: Taken;
  readonly setup: DryingSetup;
  readonly estimate: DryingEstimate | null;
}

interface Desk {
  readonly spool: SpoolConfig;
  readonly setup: DryingSetup;
  tracker: DryingTracker | null;
  keptFitMs: number | null;
  toldState: DryingEstimate['state'] | null;
  /** Of the drying run that goes on, as last estimated. */
  runStartMs: number | null;
}

export function dryingSetup(spool: SpoolConfig, station: StationConfig, companions: number): DryingSetup {
  const found = findMaterial(spool.material, spool.fibreWtPercent);
  if (!found.ok) throw new RangeError(found.detail);
  return {
    station: station.id,
    spool: spool.id,
    material: found.material,
    limitWtPercent: spool.limitWtPercent ?? found.material.printingLimitWtPercent,
    netMassG: spool.netMassG,
    diameterMm: spool.diameterMm,
    reel: spool.reel,
    reelMassG: spool.reelMassG,
    stored: spool.stored,
    storedRhPercent: spool.storedRhPercent,
    role: station.role === 'chamber' ? 'chamber' : station.role === 'storage' ? 'storage' : 'drybox',
    airVolumeL: station.airVolumeL,
    airSupply: station.airSupply,
    companions,
    rhTolerancePercent: station.rhTolerancePercent,
    temperatureToleranceC: station.temperatureToleranceC,
  };
}

export function createSpoolDesk(
  bench: BenchConfig,
  steady: SteadyTime,
  saved: Readonly<Record<string, DryingState>> = {},
  taken: (spool: string) => Taken = () => NOTHING_TAKEN,
): SpoolDesk {
  const stations = new Map(bench.stations.map((station) => [station.id, station]));
  const roomId = bench.stations.find(({ role }) => role === 'room')?.id ?? null;
  const desks: Desk[] = bench.spools.flatMap((spool) => {
    const station = stations.get(spool.station);
    if (!station || !SPOOL_ROLES.includes(station.role)) return [];
    const companions = bench.spools.filter((other) => other.station === spool.station).length - 1;
    return [
      {
        spool,
        setup: dryingSetup(spool, station, companions),
        tracker: null,
        keptFitMs: null,
        toldState: null,
        runStartMs: null,
      },
    ];
  });
  const trackerOf = (desk: Desk, atMs: number): DryingTracker => {
    desk.tracker ??= createDryingTracker(desk.setup, atMs, saved[desk.spool.id]);
    return desk.tracker;
  };
  const read = (at: Instant): readonly { desk: Desk; estimate: DryingEstimate | null }[] => {
    const atMs = steady(at);
    const shiftMs = at.wallMs - atMs;
    return desks.map((desk) => {
      const estimate = desk.tracker?.advance(atMs);
      desk.runStartMs = estimate?.runStartMs ?? null;
      return {
        desk,
        estimate: estimate ? shifted(lessTaken(estimate, taken(desk.spool.id)), shiftMs) : null,
      };
    });
  };
  const knows = ({ spool }: Desk, atMs: number, how: How): boolean =>
    how === 'recalled' && atMs <= (saved[spool.id]?.atMs ?? Number.NEGATIVE_INFINITY);
  const judge = (entry: UserEntry): Entered => {
    const judged = judgeEntry(entry, bench.spools, bench.stations);
    if (!judged.ok || entry.kind !== 'weigh-in-undone') return judged;
    const weighed = desks.some(({ spool, tracker }) => spool.id === entry['spool'] && tracker?.weighIns());
    if (weighed) return judged;
    return {
      ok: false,
      reason: 'nothing-to-undo',
      detail: `No weigh-in of "${String(entry['spool'])}" is left to take back.`,
    };
  };

  return {
    reading(record, at, how = 'live') {
      const atMs = steady(at);
      const value = (key: string): number | null =>
        record.flagged?.includes(key) ? null : (record.values[key] ?? null);
      const airTemperatureC = value('t');
      const relativeHumidityPercent = value('rh');
      for (const desk of desks) {
        if (knows(desk, atMs, how)) continue;
        if (record.station === roomId)
          trackerOf(desk, atMs).observeRoom({ atMs, airTemperatureC, relativeHumidityPercent });
        if (record.station === desk.spool.station)
          trackerOf(desk, atMs).observeBox({
            atMs,
            airTemperatureC,
            relativeHumidityPercent,
            massG: tellsWater(desk.runStartMs, taken(desk.spool.id)) ? value('m') : null,
            cellTemperatureC: value('tm'),
          });
      }
    },

    judge,
    enter(entry, at, how = 'live') {
      const judged = judge(entry);
      if (!judged.ok) return judged;
      const atMs = steady(at);
      for (const desk of desks.filter(({ spool }) => judged.spools.includes(spool.id)))
        if (!knows(desk, atMs, how))
          trackerOf(desk, atMs).event(weighedWhole(eventOf(entry, atMs), taken(desk.spool.id)));
      return judged;
    },

    records(at) {
      return read(at).flatMap(({ estimate }) => (estimate ? [toRecord(estimate, at.wallMs)] : []));
    },
    news(at) {
      const samples: Sample[] = [];
      const transitions: Transition[] = [];
      for (const { desk, estimate } of read(at)) {
        if (!estimate) continue;
        if (estimate.fittedMs !== desk.keptFitMs) {
          desk.keptFitMs = estimate.fittedMs;
          samples.push(...estimateSamples(estimate));
        }
        if (estimate.state !== desk.toldState) {
          const { station, spool, state } = estimate;
          transitions.push({
            kind: 'spool-state',
            atMs: at.wallMs,
            station,
            detail: `Spool ${spool} is ${state}.`,
          });
          desk.toldState = state;
        }
      }
      return { samples, transitions };
    },
    views: (at) =>
      read(at).map(({ desk, estimate }) => ({
        spool: desk.spool,
        taken: taken(desk.spool.id),
        setup: desk.setup,
        estimate,
      })),
    standing(id) {
      const desk = desks.find(({ spool }) => spool.id === id);
      return desk?.tracker ? { setup: desk.setup, state: desk.tracker.save() } : null;
    },
    save: () =>
      Object.fromEntries(
        desks.flatMap((desk) => (desk.tracker ? [[desk.spool.id, desk.tracker.save()]] : [])),
      ),
  };
}
