/**
 * Asks for history, station by station, and asks again after a growing delay until it comes or is no longer wanted.
 * A newer question takes the place of an older one: its answer would show a span that nobody looks at any more.
 */
import type { HistoryAnswer } from '../server/api/messages.ts';
import type { SeriesId } from './series-window.ts';

/** The server answers no more than 2000; one for each pixel of a wide screen is plenty. */
export const MOST_BUCKETS = 1200;
export const FIRST_RETRY_MS = 1000;
export const LONGEST_RETRY_MS = 30_000;

export interface Question {
  readonly ids: readonly SeriesId[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

export interface HistoryWorld {
  /** Rejects where the server cannot be reached or refuses. */
  fetchJson(path: string, cancelled: AbortSignal): Promise<unknown>;
  after(ms: number, call: () => void): () => void;
}

export interface HistoryAsker {
  ask(question: Question, answered: (answer: HistoryAnswer, keys: readonly string[]) => void): void;
  stop(): void;
}

export function historyPath(station: string, keys: readonly string[], question: Question): string {
  const query = new URLSearchParams({
    station,
    keys: keys.join(','),
    fromMs: String(Math.max(0, Math.floor(question.fromMs))),
    toMs: String(Math.ceil(question.toMs)),
    buckets: String(Math.min(MOST_BUCKETS, Math.max(1, Math.round(question.buckets)))),
  });
  return `/api/history?${query}`;
}

/** `said` hears `missing` while an answer is overdue, `complete` when all have come. */
export function createHistoryAsker(
  world: HistoryWorld,
  said: (state: 'missing' | 'complete') => void,
): HistoryAsker {
  let current: AbortController | null = null;
  let cancelRetries: (() => void)[] = [];

  const stop = (): void => {
    current?.abort();
    current = null;
    for (const cancel of cancelRetries) cancel();
    cancelRetries = [];
  };

  return {
    stop,
    ask(question, answered) {
      stop();
      const own = new AbortController();
      current = own;
      const stations = [...new Set(question.ids.map((id) => id.station))];
      let open = stations.length;
      const askStation = async (station: string, failures: number): Promise<void> => {
        const keys = question.ids.filter((id) => id.station === station).map((id) => id.key);
        try {
          const answer = await world.fetchJson(historyPath(station, keys, question), own.signal);
          if (own.signal.aborted) return;
          answered(answer as HistoryAnswer, keys);
          if (--open === 0) said('complete');
        } catch {
          if (own.signal.aborted) return;
          said('missing');
          const delayMs = Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** failures);
          cancelRetries.push(world.after(delayMs, () => void askStation(station, failures + 1)));
        }
      };
      if (open === 0) said('complete');
      for (const station of stations) void askStation(station, 0);
    },
  };
}
