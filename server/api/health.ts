/** How lowdew itself is, put together from what the bench, the store and the socket count. Pure. */
import type { LiveFacts } from './live.ts';
import type { Health, Snapshot, SourceState } from './messages.ts';
import type { HistoryFacts } from './views.ts';

export interface HealthParts {
  readonly snapshot: Snapshot;
  readonly history: HistoryFacts;
  readonly live: LiveFacts;
  readonly receiverTroubles: readonly string[];
  readonly uptimeS: number;
  readonly memory: { readonly rss: number; readonly heapUsed: number };
}

export function describeHealth(parts: HealthParts): Health {
  const { snapshot, history, live, uptimeS, memory, receiverTroubles } = parts;
  const troubles = [
    ...(snapshot.historyTrouble === null ? [] : [snapshot.historyTrouble]),
    ...snapshot.sources.flatMap(({ id, trouble }) => (trouble === null ? [] : [`Source ${id}: ${trouble}`])),
    ...snapshot.stations.filter(({ quiet }) => quiet).map(({ id }) => `Station ${id} is quiet.`),
    ...receiverTroubles,
  ];
  return {
    status: troubles.length === 0 ? 'well' : 'trouble',
    troubles,
    version: snapshot.version,
    atMs: snapshot.atMs,
    uptimeS,
    stations: snapshot.stations.map(({ id, heardMs, quiet, counts }) => ({ id, heardMs, quiet, counts })),
    sources: snapshot.sources.map((source) => ({
      id: source.id,
      state: source.state,
      lines: source.lines,
      ...boardTotals(source),
      refused: source.refused,
    })),
    history: { ...history },
    live: { ...live },
    memory: { residentBytes: memory.rss, heapBytes: memory.heapUsed },
  };
}

export function boardTotals({ boards }: SourceState): { lost: number; duplicates: number; late: number } {
  const total = { lost: 0, duplicates: 0, late: 0 };
  for (const board of boards) {
    total.lost += board.lost;
    total.duplicates += board.duplicates;
    total.late += board.late;
  }
  return total;
}
