/** Whether enough of a job has passed to say that it kept to its window. Pure. */
import type { JobState } from '../../server/api/messages-jobs.ts';

export type JudgedJob = Pick<
  JobState,
  'state' | 'printedMs' | 'excursions' | 'fedWtPercent' | 'limitWtPercent'
>;

/** Feed air or a turn must be too wet for so long before it counts as an excursion. */
const COUNTS_AFTER_MS = 600_000;

/** `early`: what is out of its window could not count yet. `pending`: something is, and does not count yet. */
export function judgedOf(job: JudgedJob): 'early' | 'pending' | 'judged' {
  if (job.printedMs < COUNTS_AFTER_MS) return 'early';
  return isTooWetNow(job) ? 'pending' : 'judged';
}

/** The turn being fed is too wet, whether or not it has been for long enough to count. */
export const isTooWetNow = ({ state, fedWtPercent, limitWtPercent }: JudgedJob): boolean =>
  state === 'running' && fedWtPercent !== null && fedWtPercent.p50 > limitWtPercent;
