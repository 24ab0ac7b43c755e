/**
 * Jobs that wait for their spool and chamber: asked about every ten minutes of steady time, so that it can be told when
 * one may start. A waiting job that is started waits no more.
 */
import type { Instant } from '../clock.ts';
import type { JobPlan } from '../estimators/jobs/job.ts';
import type { StartFinding } from '../estimators/start/check.ts';
import type { StartAnswer } from './start-desk.ts';
import type { SteadyTime } from './steady-time.ts';

export interface WaitingJob {
  readonly version: 1;
  readonly plan: JobPlan;
  /** Null before it could be told. */
  readonly mayStart: { readonly now: boolean; readonly probability: number } | null;
}

export interface WaitingDesk {
  add(plan: JobPlan, at: Instant): void;
  /** It was started, or is no longer wanted. */
  drop(id: string): void;
  has(id: string): boolean;
  tick(at: Instant): void;
  jobs(): readonly WaitingJob[];
  save(): Readonly<Record<string, WaitingJob>>;
}

const CHECK_MS = 600_000;
/** Each costs a start check every ten minutes. */
export const MOST_WAITING = 20;

export function createWaitingDesk(
  steady: SteadyTime,
  check: (plan: JobPlan, at: Instant) => StartAnswer,
  saved: Readonly<Record<string, WaitingJob>> = {},
): WaitingDesk {
  const waiting = new Map<string, WaitingJob>(Object.entries(saved));
  let slot: number | null = null;

  const ask = (job: WaitingJob, at: Instant): WaitingJob => {
    const answer = check(job.plan, at);
    // What cannot be told now leaves what was told.
    return answer.ok ? { ...job, mayStart: standing(answer.finding) } : job;
  };

  return {
    add(plan, at) {
      waiting.set(plan.id, ask({ version: 1, plan, mayStart: null }, at));
    },
    drop: (id) => {
      waiting.delete(id);
    },
    has: (id) => waiting.has(id),
    tick(at) {
      const now = Math.floor(steady(at) / CHECK_MS);
      if (now === slot) return;
      slot = now;
      for (const [id, job] of waiting) waiting.set(id, ask(job, at));
    },
    jobs: () => [...waiting.values()],
    save: () => Object.fromEntries(waiting),
  };
}

function standing({ outcome, ifNow }: StartFinding): WaitingJob['mayStart'] {
  if (!ifNow) return { now: false, probability: 0 };
  return { now: outcome === 'start-now', probability: ifNow.pSpool * (ifNow.pChamber ?? 1) };
}
