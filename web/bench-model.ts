/** What the page knows of the bench: the last snapshot with all changes since folded in. Pure. */
import type { Change, Snapshot, SourceState, SpoolState, StationState } from '../server/api/messages.ts';

export type Bench = Omit<Snapshot, 'type'>;

export type Folded =
  | { readonly outcome: 'changed'; readonly bench: Bench }
  /** A message is missing: what is known can't be trusted until a new snapshot. */
  | { readonly outcome: 'jump' }
  | { readonly outcome: 'already-known' };

export function fromSnapshot(snapshot: Snapshot): Bench {
  const { type: _, ...bench } = snapshot;
  return bench;
}

export function foldChange(bench: Bench, change: Change): Folded {
  if (change.sequence <= bench.sequence) return { outcome: 'already-known' };
  if (change.sequence !== bench.sequence + 1) return { outcome: 'jump' };
  return {
    outcome: 'changed',
    bench: {
      ...bench,
      sequence: change.sequence,
      atMs: change.atMs,
      simulated: change.simulated === undefined ? bench.simulated : change.simulated,
      historyTrouble: change.historyTrouble === undefined ? bench.historyTrouble : change.historyTrouble,
      unknownStations: change.unknownStations ?? bench.unknownStations,
      stations: mergeById<StationState>(bench.stations, change.stations),
      sources: mergeById<SourceState>(bench.sources, change.sources),
      spools: mergeById<SpoolState>(bench.spools, change.spools),
      // They come all at once, and an ended job goes when a later one has ended.
      chambers: change.chambers ?? bench.chambers,
      jobs: change.jobs ?? bench.jobs,
      alerts: change.alerts ?? bench.alerts,
    },
  };
}

/** Those that changed take the place they had; new ones come last. The same array where nothing changed. */
function mergeById<T extends { readonly id: string }>(known: T[], changed: readonly T[] | undefined): T[] {
  if (!changed || changed.length === 0) return known;
  const merged = [...known];
  for (const one of changed) {
    const index = merged.findIndex((other) => other.id === one.id);
    if (index < 0) merged.push(one);
    else merged[index] = one;
  }
  return merged;
}
