/**
 * Filament that jobs took off a spool: its outermost turns are gone, so that what is fed or usable begins further in. Counted
 * by the grams that were stated for a job and the time that it printed, since the spool's own mass was stated: a spool that is
 * stated anew, with another mass, begins whole.
 */
import { fedG, type Job } from './job.ts';

export interface Taken {
  /** By ended jobs, and by a running one so far. */
  readonly g: number;
  /** The same with a running job's whole plan: where the next one begins. */
  readonly plannedG: number;
  readonly jobs: number;
  /** Start of the newest of them, steady ms; null without one. */
  readonly newestMs: number | null;
}

export const NOTHING_TAKEN: Taken = { g: 0, plannedG: 0, jobs: 0, newestMs: null };

export function takenOff(
  jobs: Iterable<Job>,
  spool: { readonly id: string; readonly netMassG: number },
): Taken {
  let taken = NOTHING_TAKEN;
  for (const job of jobs) {
    if (job.plan.spool !== spool.id || job.statedNetMassG !== spool.netMassG) continue;
    taken = {
      g: Math.min(spool.netMassG, taken.g + fedG(job)),
      plannedG: Math.min(
        spool.netMassG,
        taken.plannedG + (job.state === 'ended' ? fedG(job) : job.plan.grams),
      ),
      jobs: taken.jobs + 1,
      newestMs: Math.max(taken.newestMs ?? Number.NEGATIVE_INFINITY, job.startedMs),
    };
  }
  return taken;
}
