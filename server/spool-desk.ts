/**
 * One drying tracker for each spool: routes a station's readings, the room's and what a person enters to the spools
 * they bear on, and brings the estimates out as records.
 *
 * Trackers live in steady time: the wall clock as it stood at the first reading, carried on by the monotonic one. A
 * wall clock that is set later moves the labels, never the run.
 */
import type { Instant } from './clock.ts';
import { type BenchConfig, SPOOL_ROLES, type SpoolConfig, type StationConfig } from './config/bench.ts';
import type { DryingState } from './estimators/drying/state.ts';
import {
  createDryingTracker,
  type DryingEstimate,
  type DryingSetup,
  type DryingTracker,
} from './estimators/drying/tracker.ts';
import { findMaterial } from './physics/materials.ts';
import type { DryingRecord, ReadingRecord, Sample, TimeBand, Transition, UserEntry } from './records.ts';

/** What became of an entry; a refusal says what to do. */
export type Entered =
  | { readonly ok: true; readonly spools: readonly string[] }
  | {
      readonly ok: false;
      readonly reason: 'unknown-kind' | 'unknown-name' | 'bad-value';
      readonly detail: string;
    };

export interface SpoolDesk {
  /** A reading as the station took it in; flagged values are left out. */
  reading(record: Pick<ReadingRecord, 'station' | 'values' | 'flagged'>, at: Instant): void;
  enter(entry: UserEntry, at: Instant): Entered;
  records(at: Instant): readonly DryingRecord[];
  /** Samples of estimates fitted since last asked, for history; and state names that changed. */
  news(at: Instant): { readonly samples: readonly Sample[]; readonly transitions: readonly Transition[] };
  views(at: Instant): readonly SpoolView[];
  save(): Readonly<Record<string, DryingState>>;
}

/** A spool as it was described, with what is estimated of it; null before the first reading that bears on it. */
export interface SpoolView {
  readonly spool: SpoolConfig;
  readonly setup: DryingSetup;
  readonly estimate: DryingEstimate | null;
}

interface Desk {
  readonly spool: SpoolConfig;
  readonly setup: DryingSetup;
  tracker: DryingTracker | null;
  keptFitMs: number | null;
  toldState: DryingEstimate['state'] | null;
}

/** Series of a spool's estimates in history, beside its station's own keys: `gear.moisture_p50`. */
export function estimateSamples(estimate: DryingEstimate): readonly Sample[] {
  const {
    moistureWtPercent: w,
    wettestTurnWtPercent: wet,
    readyOuterG: ready,
    floorWtPercent: floor,
  } = estimate;
  const values: [string, number | undefined][] = [
    ['moisture_p05', w.p05],
    ['moisture_p50', w.p50],
    ['moisture_p95', w.p95],
    ['wettest_p50', wet.p50],
    ['wettest_p95', wet.p95],
    ['ready_g_p05', ready.p05],
    ['ready_g_p50', ready.p50],
    ['floor_p50', floor?.p50],
    ['p_dry', estimate.pDry],
  ];
  return values.flatMap(([key, value]) =>
    value === undefined
      ? []
      : [
          {
            station: estimate.station,
            key: `${estimate.spool}.${key}`,
            atMs: Math.round(estimate.atMs),
            value,
            flagged: false,
          },
        ],
  );
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
  saved: Readonly<Record<string, DryingState>> = {},
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
      },
    ];
  });
  let steadyAheadMs: number | null = null;

  const steady = (at: Instant): number => {
    steadyAheadMs ??= at.wallMs - at.monotonicMs;
    return at.monotonicMs + steadyAheadMs;
  };
  const trackerOf = (desk: Desk, atMs: number): DryingTracker => {
    desk.tracker ??= createDryingTracker(desk.setup, atMs, saved[desk.spool.id]);
    return desk.tracker;
  };
  const read = (at: Instant): readonly { desk: Desk; estimate: DryingEstimate | null }[] => {
    const atMs = steady(at);
    const shiftMs = at.wallMs - atMs;
    return desks.map((desk) => ({
      desk,
      estimate: desk.tracker ? shifted(desk.tracker.advance(atMs), shiftMs) : null,
    }));
  };
  const text = (value: unknown): string | null => (typeof value === 'string' ? value : null);
  const amount = (value: unknown): number | null =>
    typeof value === 'number' && Number.isFinite(value) ? value : null;

  return {
    reading(record, at) {
      const atMs = steady(at);
      const value = (key: string): number | null =>
        record.flagged?.includes(key) ? null : (record.values[key] ?? null);
      const airTemperatureC = value('t');
      const relativeHumidityPercent = value('rh');
      for (const desk of desks) {
        if (record.station === roomId)
          trackerOf(desk, atMs).observeRoom({ atMs, airTemperatureC, relativeHumidityPercent });
        if (record.station === desk.spool.station)
          trackerOf(desk, atMs).observeBox({
            atMs,
            airTemperatureC,
            relativeHumidityPercent,
            massG: value('m'),
            cellTemperatureC: value('tm'),
          });
      }
    },

    enter(entry, at) {
      const atMs = steady(at);
      const refuse = (reason: (Entered & { ok: false })['reason'], detail: string): Entered => ({
        ok: false,
        reason,
        detail,
      });
      const spoolId = text(entry['spool']);
      const named = desks.filter(({ spool }) => spool.id === spoolId);
      if (
        ['weigh-in', 'spool-in', 'spool-out', 'bagged', 'run-start'].includes(entry.kind) &&
        named.length === 0
      )
        return refuse('unknown-name', `No spool is called "${spoolId ?? ''}".`);
      switch (entry.kind) {
        case 'weigh-in': {
          const massG = amount(entry['massG']);
          const resolutionG = amount(entry['resolutionG']) ?? 1;
          if (massG === null || !(massG > 0 && massG < 50_000))
            return refuse(
              'bad-value',
              'A weigh-in needs massG, the whole spool with its reel, in grams (0–50000).',
            );
          if (!(resolutionG > 0 && resolutionG <= 100))
            return refuse('bad-value', 'resolutionG is the step of the scale in grams, 0–100.');
          for (const desk of named)
            trackerOf(desk, atMs).event({ kind: 'weigh-in', atMs, massG, resolutionG });
          return { ok: true, spools: named.map(({ spool }) => spool.id) };
        }
        case 'spool-in':
        case 'spool-out':
        case 'bagged':
        case 'run-start': {
          const { kind } = entry;
          for (const desk of named) trackerOf(desk, atMs).event({ kind, atMs });
          return { ok: true, spools: named.map(({ spool }) => spool.id) };
        }
        case 'lid': {
          const station = text(entry['station']);
          const inside = desks.filter(({ spool }) => spool.station === station);
          if (station === null || !stations.has(station))
            return refuse('unknown-name', `No station is called "${station ?? ''}".`);
          const openS = amount(entry['openS']);
          if (openS !== null && !(openS > 0 && openS <= 86_400))
            return refuse('bad-value', 'openS is how long the lid was open, in seconds (0–86400).');
          for (const desk of inside)
            trackerOf(desk, atMs).event(
              openS === null ? { kind: 'lid', atMs } : { kind: 'lid', atMs, openS },
            );
          return { ok: true, spools: inside.map(({ spool }) => spool.id) };
        }
        default:
          return refuse('unknown-kind', `"${entry.kind}" is nothing that can be entered.`);
      }
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
    views: (at) => read(at).map(({ desk, estimate }) => ({ spool: desk.spool, setup: desk.setup, estimate })),
    save: () =>
      Object.fromEntries(
        desks.flatMap((desk) => (desk.tracker ? [[desk.spool.id, desk.tracker.save()]] : [])),
      ),
  };
}

/** Steady time to the wall's, where the clock was set since. */
function shifted(estimate: DryingEstimate, shiftMs: number): DryingEstimate {
  if (shiftMs === 0) return estimate;
  const move = (ms: number | null): number | null => (ms === null ? null : ms + shiftMs);
  const times = (band: DryingEstimate['dryAtMs']) => ({
    p05: move(band.p05),
    p50: move(band.p50),
    p95: move(band.p95),
  });
  return {
    ...estimate,
    atMs: estimate.atMs + shiftMs,
    dryAtMs: times(estimate.dryAtMs),
    dryThroughAtMs: times(estimate.dryThroughAtMs),
    dryCalledMs: move(estimate.dryCalledMs),
    runStartMs: move(estimate.runStartMs),
    fittedMs: estimate.fittedMs + shiftMs,
    forecast: estimate.forecast.map((point) => ({ ...point, atMs: point.atMs + shiftMs })),
  };
}

function toRecord(estimate: DryingEstimate, wallMs: number): DryingRecord {
  const at = (ms: number | null): string | null =>
    ms === null ? null : new Date(Math.round(ms)).toISOString();
  const times = (band: DryingEstimate['dryAtMs']): TimeBand => ({
    p05: at(band.p05),
    p50: at(band.p50),
    p95: at(band.p95),
  });
  return {
    at: new Date(wallMs).toISOString(),
    kind: 'drying',
    station: estimate.station,
    spool: estimate.spool,
    state: estimate.state,
    limitWtPercent: estimate.limitWtPercent,
    moistureWtPercent: estimate.moistureWtPercent,
    wettestTurnWtPercent: estimate.wettestTurnWtPercent,
    readyOuterG: estimate.readyOuterG,
    dryAt: times(estimate.dryAtMs),
    dryAtReason: estimate.dryAtReason,
    dryThroughAt: times(estimate.dryThroughAtMs),
    dryThroughAtReason: estimate.dryThroughAtReason,
    floorWtPercent: estimate.floorWtPercent,
    pDry: estimate.pDry,
    pNever: estimate.pNever,
  };
}
