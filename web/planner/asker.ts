/**
 * Asks the planner when the typing hand rests, and keeps the last answer until the next has come, so that the page does
 * not flicker. A newer question takes the place of an older one.
 */
import { type Signal, signal } from '@preact/signals';
import type { PlanAnswer, PlanCatalogue } from '../../server/api/messages-plan.ts';

export interface AskWorld {
  fetchJson(path: string, cancelled: AbortSignal): Promise<unknown>;
  after(ms: number, call: () => void): () => void;
}

export interface PlanAsker {
  readonly catalogue: Signal<PlanCatalogue | null>;
  readonly answer: Signal<PlanAnswer | null>;
  /** A try has failed and is being repeated. */
  readonly unanswered: Signal<boolean>;
  /** `path` without what comes before /api/plan. */
  ask(path: string): void;
  stop(): void;
}

/** A hand that types rests for longer than this between two figures it means. */
const REST_MS = 140;
const FIRST_RETRY_MS = 1000;
const LONGEST_RETRY_MS = 15_000;

export function createPlanAsker(world: AskWorld): PlanAsker {
  const catalogue = signal<PlanCatalogue | null>(null);
  const answer = signal<PlanAnswer | null>(null);
  const unanswered = signal(false);
  let cancelWait = (): void => {};
  let cancelCatalogue = (): void => {};
  let current: AbortController | null = null;
  let asked = '';

  const fetchCatalogue = (failures: number): void => {
    const own = new AbortController();
    world.fetchJson('/api/plan', own.signal).then(
      (told) => {
        catalogue.value = told as PlanCatalogue;
      },
      () => {
        unanswered.value = true;
        cancelCatalogue = world.after(retryMs(failures), () => fetchCatalogue(failures + 1));
      },
    );
  };
  fetchCatalogue(0);

  const fetchAnswer = (path: string, failures: number): void => {
    const own = new AbortController();
    current = own;
    world.fetchJson(`/api/plan/${path}`, own.signal).then(
      (told) => {
        if (own.signal.aborted) return;
        unanswered.value = false;
        answer.value = told as PlanAnswer;
      },
      () => {
        if (own.signal.aborted) return;
        unanswered.value = true;
        cancelWait = world.after(retryMs(failures), () => fetchAnswer(path, failures + 1));
      },
    );
  };
  const stop = (): void => {
    cancelWait();
    current?.abort();
    current = null;
  };

  return {
    catalogue,
    answer,
    unanswered,
    ask(path) {
      if (path === asked) return;
      const first = asked === '';
      asked = path;
      stop();
      cancelWait = world.after(first ? 0 : REST_MS, () => fetchAnswer(path, 0));
    },
    stop() {
      cancelCatalogue();
      stop();
    },
  };
}

const retryMs = (failures: number): number => Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** failures);
