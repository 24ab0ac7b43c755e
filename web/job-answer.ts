/**
 * The answer while a job runs: in the words of its own screen, with the newest time it was out of its window. Pure.
 */
import type { JobState } from '../server/api/messages-jobs.ts';
import type { Aside } from './answer-facts.ts';
import { type RunFacts, runAnswer, runRows, sayExcursion } from './jobs/run-words.ts';
import type { Piece } from './pieces.ts';
import { RUN } from './words/job-run.ts';
import { RUNNING } from './words/running.ts';

export interface JobAnswer {
  readonly say: readonly Piece[];
  readonly tell: readonly Piece[];
  readonly aside: Aside;
}

export function jobAnswer(job: JobState, facts: RunFacts): JobAnswer {
  const { heading, tell } = runAnswer(job, facts);
  const told = job.excursions.filter(({ kind }) => kind !== 'pause');
  // What goes on matters more than what is over; of either the newest.
  const newest = told.findLast(({ toMs }) => toMs === null) ?? told.at(-1);
  return {
    say: [heading],
    tell: [...(newest ? [`${sayExcursion(newest, facts)} `] : []), ...tell],
    // The turn being fed stands in the sentence already.
    aside: {
      head: RUNNING.aside,
      rows: runRows(job, facts).filter(([what]) => what !== RUN.rows.fed),
      note: '',
    },
  };
}
