/** One printable page of a drying run (?spool=) or of a job (?job=). */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { JobState } from '../../server/api/messages-jobs.ts';
import { askJson } from '../ask.ts';
import type { ScreenProps } from '../shell/screen-props.ts';
import { useTitle } from '../shell/title.ts';
import { REPORT } from '../words/report.ts';
import { DryingReport } from './drying-report.tsx';
import { JobReport } from './job-report.tsx';

export function Screen({ state, route }: ScreenProps) {
  const query = new URLSearchParams(route.place.value.query);
  const jobId = query.get('job');
  const job = useSignal<JobState | null>(null);
  useEffect(() => {
    if (jobId === null) return;
    void askJson<{ jobs: JobState[] }>('/api/jobs').then((answer) => {
      if (answer.ok) job.value = answer.value.jobs.find(({ id }) => id === jobId) ?? null;
    });
  }, [jobId, job]);
  const bench = state.bench.value;
  const spool = bench?.spools.find(({ id }) => id === query.get('spool')) ?? null;
  const when = state.format.value.dayAndClock(state.nowMs.value);
  const head = job.value
    ? REPORT.jobHead(job.value.name, when)
    : spool?.drying
      ? REPORT.dryingHead(spool.id, when)
      : REPORT.none.head;
  useTitle(state, REPORT.title, head);
  if (!bench) return null;
  return (
    <div class="report setup">
      <div class="answer">
        <h1>{head}</h1>
        {bench.simulated && <p class="tell">{REPORT.simulated}</p>}
      </div>
      {job.value ? (
        <JobReport state={state} job={job.value} key={job.value.id} />
      ) : spool?.drying ? (
        <DryingReport state={state} spool={{ ...spool, drying: spool.drying }} key={spool.id} />
      ) : (
        <p>{REPORT.none.tell}</p>
      )}
      <p class="soft">{REPORT.safety}</p>
      <p class="soft">{REPORT.made(bench.version, state.format.value.dateAndClock(state.nowMs.value))}</p>
    </div>
  );
}
