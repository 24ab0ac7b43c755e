import { expect, it } from 'vitest';
import type { StartQuery } from '../../server/api/messages-jobs.ts';
import { type JobsView, registerJobs } from '../../server/api/routes-jobs.ts';
import { serve } from './serve.ts';

async function serveJobs(parts: Partial<JobsView> = {}) {
  const asked: StartQuery[] = [];
  const view: JobsView = {
    start(query) {
      asked.push(query);
      return { ok: false, reason: 'unknown-name', detail: `No spool "${query.spool}" has been heard of.` };
    },
    chances: ({ spool }) => ({ ok: false, reason: 'no-estimate', detail: `Nothing of ${spool} yet.` }),
    jobs: () => [],
    waiting: () => [],
    compare: () => null,
    ...parts,
  };
  const { ask } = await serve({ routes: (app) => registerJobs(app, view) });
  return { ask, asked };
}

it('reads the job asked about from the address, numbers and truths as such', async () => {
  const { ask, asked } = await serveJobs();
  const answer = await ask('/api/start?spool=gear&grams=12.5&hours=3&exitOpen=true&tubeM=1.2&sure=0.95');
  expect(answer).toMatchObject({ status: 422, code: 'unknown-name' });
  expect(asked).toEqual([{ spool: 'gear', grams: 12.5, hours: 3, exitOpen: true, tubeM: 1.2, sure: 0.95 }]);
});

it.each([
  ['/api/start?spool=gear&grams=0&hours=3', 'grams'],
  ['/api/start?spool=gear&grams=5', 'hours'],
  ['/api/start/chances?spool=gear&grams=5', 'hours'],
  ['/api/start?spool=gear&grams=5&hours=x', 'hours'],
  ['/api/start?spool=gear&grams=5&hours=3&sure=1', 'sure'],
  ['/api/jobs/differences?left=a', 'right'],
])('%s is refused, and the answer names %s', async (path, names) => {
  const { ask, asked } = await serveJobs();
  const answer = await ask(path);
  expect(answer).toMatchObject({ status: 400, code: 'bad-request' });
  expect(answer.body).toContain(names);
  expect(asked).toEqual([]);
});

it('lists jobs, and tells where there are no two to compare', async () => {
  const { ask } = await serveJobs();
  expect(JSON.parse((await ask('/api/jobs')).body)).toEqual({ jobs: [], waiting: [] });
  expect(await ask('/api/jobs/differences?left=a&right=b')).toMatchObject({
    status: 404,
    code: 'unknown-name',
  });
});
