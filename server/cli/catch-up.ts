/**
 * What the trackers missed when the program last ended without warning: readings that history kept and entries that the
 * diary kept since the trackers were last written down, told again in the order of time.
 */
import type { Instant } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import type { Engine, SavedEngine } from '../engine.ts';
import type { UserEntry } from '../records.ts';

/** History and diary as far as this file needs them. */
export interface Kept {
  pages(query: { station: string; keys: readonly string[]; fromMs: number; toMs: number }): Iterable<{
    readonly series: Readonly<
      Record<string, { readonly atMs: readonly number[]; readonly mean: readonly number[] }>
    >;
  }>;
  entries(query: {
    after: number;
  }): readonly { readonly number: number; readonly atMs: number; readonly value: unknown }[];
}

/** Keys that bear on a spool or a chamber. */
const KEYS = ['t', 'rh', 'm', 'tm', 'tb', 'ts'] as const;
/** Longer ago than this, a run is better begun anew than told again in one breath. */
const LONGEST_MS = 48 * 3_600_000;

/** Returns how many readings and entries were told. */
export function catchUp(
  bench: BenchConfig,
  engine: Engine,
  saved: SavedEngine,
  kept: Kept,
  now: Instant,
): number {
  const chambers = bench.stations.filter(({ role }) => role === 'chamber').map(({ id }) => id);
  if (bench.spools.length === 0 && chambers.length === 0) return 0;
  const times = [
    ...bench.spools.flatMap(({ id }) => saved.drying[id]?.atMs ?? []),
    ...chambers.flatMap((id) => saved.soak[id]?.atMs ?? []),
  ];
  // What has no saved tracker began within the last minute before the end.
  const fromMs = Math.max(now.wallMs - LONGEST_MS, times.length > 0 ? Math.min(...times) + 1 : 0);
  const stations = new Set([
    ...bench.spools.map(({ station }) => station),
    ...chambers,
    ...bench.stations.filter(({ role }) => role === 'room').map(({ id }) => id),
  ]);
  const told: { atMs: number; station?: string; values?: Record<string, number>; entry?: UserEntry }[] = [];
  for (const station of stations) {
    const readings = new Map<number, Record<string, number>>();
    for (const page of kept.pages({ station, keys: KEYS, fromMs, toMs: now.wallMs }))
      for (const [key, { atMs, mean }] of Object.entries(page.series))
        for (const [i, ms] of atMs.entries()) {
          const values = readings.get(ms) ?? {};
          values[key] = mean[i] as number;
          readings.set(ms, values);
        }
    for (const [atMs, values] of readings) told.push({ atMs, station, values });
  }
  for (let after = 0; ; ) {
    const page = kept.entries({ after });
    for (const { atMs, value } of page)
      if (atMs >= fromMs && atMs <= now.wallMs) told.push({ atMs, entry: value as UserEntry });
    const last = page.at(-1);
    if (!last) break;
    after = last.number;
  }
  told.sort((a, b) => a.atMs - b.atMs);
  for (const { atMs, station, values, entry } of told) {
    // Before this run's own zero: monotonic time goes below it, steady all the way.
    const at = { wallMs: atMs, monotonicMs: now.monotonicMs - (now.wallMs - atMs) };
    if (entry) engine.recallEntry(entry, at);
    else if (station !== undefined && values) engine.recall(station, values, at);
  }
  return told.length;
}
