/**
 * Keeps the start check's answer up with what is typed: asked when the hand rests, the newest question wins, and an answer to
 * an older one is thrown away. What a bench learns meanwhile asks again, though not more often than every few seconds.
 */
import type { StartChancesWire, StartFindingWire, StartQuery } from '../../server/api/messages-jobs.ts';
import type { Answer } from '../ask.ts';
import { pathOf } from './asked-job.ts';

export const SETTLE_MS = 250;
export const LEAST_BETWEEN_MS = 3000;

export interface StartKnown {
  readonly query: StartQuery;
  /** Bench time at which it was asked. */
  readonly askedMs: number;
  /** Null with the server's sentence where it has no answer. */
  readonly finding: StartFindingWire | null;
  readonly refusal: string | null;
  /** Comes a moment after the finding. */
  readonly chances: StartChancesWire | null;
}

export interface AskerWorld {
  ask<T>(path: string, calledOff: AbortSignal): Promise<Answer<T>>;
  after(ms: number, call: () => void): () => void;
  nowMs(): number;
  benchMs(): number;
}

export interface StartAsker {
  /** What is typed now; `standing`: what the answer rests on beside it. */
  want(query: StartQuery | null, standing: string): void;
  stop(): void;
}

export function createStartAsker(world: AskerWorld, known: (answer: StartKnown | null) => void): StartAsker {
  let wanted = '';
  let typed = '';
  let lastAskedMs = Number.NEGATIVE_INFINITY;
  let cancelTimer = (): void => {};
  let running: AbortController | null = null;

  const stop = (): void => {
    cancelTimer();
    running?.abort();
    running = null;
  };
  const ask = async (query: StartQuery): Promise<void> => {
    const own = new AbortController();
    running = own;
    lastAskedMs = world.nowMs();
    const askedMs = world.benchMs();
    const first = await world.ask<StartFindingWire>(pathOf('/api/start', query), own.signal);
    // Called off: a newer question is on its way.
    if (own.signal.aborted) return;
    const answer: StartKnown = {
      query,
      askedMs,
      finding: first.ok ? first.value : null,
      refusal: first.ok ? null : first.sentence,
      chances: null,
    };
    known(answer);
    if (!answer.finding || answer.finding.outcome === 'not-enough-filament') return;
    const second = await world.ask<StartChancesWire>(pathOf('/api/start/chances', query), own.signal);
    if (!own.signal.aborted && second.ok) known({ ...answer, chances: second.value });
  };

  return {
    stop,
    want(query, standing) {
      const question = JSON.stringify(query);
      const whole = `${question} ${standing}`;
      if (whole === wanted) return;
      const newTyped = question !== typed;
      wanted = whole;
      typed = question;
      if (query === null) {
        stop();
        known(null);
        return;
      }
      // A question under way is as good as one asked now, unless it is another one.
      if (newTyped) stop();
      else cancelTimer();
      const sinceMs = world.nowMs() - lastAskedMs;
      const waitMs = newTyped ? SETTLE_MS : Math.max(SETTLE_MS, LEAST_BETWEEN_MS - sinceMs);
      cancelTimer = world.after(waitMs, () => {
        running?.abort();
        void ask(query);
      });
    },
  };
}
