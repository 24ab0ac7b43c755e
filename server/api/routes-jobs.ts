/** When a job may start, the jobs there are, and what differs between two of them. */
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import {
  CompareQuerySchema,
  type DifferencesAnswer,
  DifferencesSchema,
  type JobState,
  JobsAnswerSchema,
  StartChancesSchema,
  type StartChancesWire,
  StartFindingSchema,
  type StartFindingWire,
  type StartQuery,
  StartQuerySchema,
  type WaitingJobWire,
} from './messages-jobs.ts';

export interface JobsView {
  start(
    query: StartQuery,
  ):
    | { readonly ok: true; readonly finding: StartFindingWire }
    | { readonly ok: false; readonly reason: string; readonly detail: string };
  chances(
    query: StartQuery,
  ):
    | { readonly ok: true; readonly chances: StartChancesWire }
    | { readonly ok: false; readonly reason: string; readonly detail: string };
  /** Newest first. */
  jobs(): readonly JobState[];
  waiting(): readonly WaitingJobWire[];
  /** Null where one of the two is not there. */
  compare(left: string, right: string): DifferencesAnswer['differences'] | null;
}

export function registerJobs(app: ApiApp, view: JobsView): void {
  app.get(
    '/api/start',
    {
      schema: {
        summary:
          'When a job may start so that every turn is under the limit as it leaves, and why not before',
        querystring: StartQuerySchema,
        response: { 200: StartFindingSchema, ...ERROR_RESPONSES },
      },
    },
    ({ query }) => {
      const answer = view.start(query);
      if (!answer.ok) throw new RequestRefused(422, answer.reason, answer.detail);
      return answer.finding;
    },
  );
  app.get(
    '/api/start/chances',
    {
      schema: {
        summary: 'How likely the job is to come out well from each start of the next day',
        querystring: StartQuerySchema,
        response: { 200: StartChancesSchema, ...ERROR_RESPONSES },
      },
    },
    ({ query }) => {
      const answer = view.chances(query);
      if (!answer.ok) throw new RequestRefused(422, answer.reason, answer.detail);
      return answer.chances;
    },
  );
  app.get(
    '/api/jobs',
    {
      schema: {
        summary: 'Jobs, running and ended, newest first, and those that wait for spool and chamber',
        response: { 200: JobsAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    () => ({ jobs: [...view.jobs()], waiting: [...view.waiting()] }),
  );
  app.get(
    '/api/jobs/differences',
    {
      schema: {
        summary: 'What differs most between two attempts',
        querystring: CompareQuerySchema,
        response: { 200: DifferencesSchema, ...ERROR_RESPONSES },
      },
    },
    ({ query: { left, right } }) => {
      const differences = view.compare(left, right);
      if (!differences)
        throw new RequestRefused(404, 'unknown-name', `No two jobs are called "${left}" and "${right}".`);
      return { differences };
    },
  );
}
