/** A job that runs: how far it is, whether it keeps to its window, and the presses that pause and end it. */
import { useSignal } from '@preact/signals';
import type { Entry } from '../../server/api/messages.ts';
import type { JobState } from '../../server/api/messages-jobs.ts';
import { pieceOf } from '../piece-text.tsx';
import type { ScreenProps } from '../shell/screen-props.ts';
import { RUN_ACTS } from '../words/jobs.ts';
import { useJobHistory } from './job-history.ts';
import { JobLanes, scalesOf } from './job-lanes.tsx';
import { judgedOf } from './judged.ts';
import { type RunFacts, runAnswer, runRows, sayExcursion, shareAt } from './run-words.ts';

export function RunningJob(props: ScreenProps & { readonly job: JobState; readonly first: boolean }) {
  const { state, post, job, first } = props;
  const facts = runFactsOf(state);
  const answer = runAnswer(job, facts);
  const box = facts.spools.find(({ id }) => id === job.spool)?.station ?? null;
  const series = useJobHistory(job, box);
  const Heading = first ? 'h1' : 'h2';
  const percent = Math.floor(100 * shareAt(job, facts.nowMs));
  return (
    <section class="running-job" aria-label={job.name}>
      <div class={first ? 'answer' : 'answer lesser'}>
        <Heading>{answer.heading}</Heading>
        <p class="tell">{answer.tell.map(pieceOf)}</p>
      </div>
      <p class="vh" role="status">
        {answer.heading}
      </p>
      <div
        class="progress"
        role="progressbar"
        aria-label={RUN_ACTS.progress}
        aria-valuemin={0}
        aria-valuemax={100}
        aria-valuenow={percent}
      >
        <i style={{ width: `${percent}%` }} />
      </div>
      <div class="two">
        <div>
          <dl class="facts">
            {runRows(job, facts).map(([what, how]) => (
              <div key={what}>
                <dt>{what}</dt>
                <dd>{how}</dd>
              </div>
            ))}
          </dl>
          <h2 class="head">{RUN_ACTS.excursions}</h2>
          <Excursions job={job} facts={facts} />
          <Acts job={job} post={post} />
        </div>
        <JobLanes
          job={job}
          series={series.value}
          scales={scalesOf([job], [series.value], facts.format)}
          format={facts.format}
        />
      </div>
    </section>
  );
}

export const runFactsOf = (state: ScreenProps['state']): RunFacts => ({
  connection: state.connection.value,
  lostSinceMs: state.lostSinceMs.value,
  stations: state.bench.value?.stations ?? [],
  spools: state.bench.value?.spools ?? [],
  nowMs: state.nowMs.value,
  format: state.format.value,
});

function sayKept(job: JobState): string {
  const ended = job.state === 'ended';
  if (judgedOf(job) === 'judged') return ended ? RUN_ACTS.keptTo : RUN_ACTS.none;
  return ended ? RUN_ACTS.tooShort : RUN_ACTS.notJudged;
}

export function Excursions({ job, facts }: { job: JobState; facts: RunFacts }) {
  // A pause is the user's own: it stands in the list and leaves no window.
  const kept = job.excursions.every(({ kind }) => kind === 'pause');
  return (
    <>
      {kept && <p>{sayKept(job)}</p>}
      {job.excursions.length > 0 && (
        <ul class="excursions">
          {job.excursions.map((one) => (
            <li class={one.toMs === null ? 'open' : ''} key={`${one.kind}${one.fromMs}`}>
              {one.toMs === null && '▲ '}
              {sayExcursion(one, facts)}
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

function Acts({ job, post }: { job: JobState; post: ScreenProps['post'] }) {
  const ending = useSignal(false);
  const said = useSignal('');
  const send = async (kind: 'job-pause' | 'job-resume' | 'job-end'): Promise<void> => {
    said.value = RUN_ACTS.sending;
    ending.value = false;
    const entry: Entry = { kind, job: job.id };
    const posted = await post(entry);
    said.value = posted.ok ? '' : RUN_ACTS.refused(posted.sentence);
  };
  const paused = job.state === 'paused';
  return (
    <div class="acts-of-job">
      {ending.value ? (
        <>
          <span>{RUN_ACTS.sure}</span>
          <button type="button" onClick={() => void send('job-end')}>
            {RUN_ACTS.endNow}
          </button>
          <button
            type="button"
            onClick={() => {
              ending.value = false;
            }}
          >
            {RUN_ACTS.notYet}
          </button>
        </>
      ) : (
        <>
          <button type="button" onClick={() => void send(paused ? 'job-resume' : 'job-pause')}>
            {paused ? RUN_ACTS.resume : RUN_ACTS.pause}
          </button>
          <button
            type="button"
            onClick={() => {
              ending.value = true;
            }}
          >
            {RUN_ACTS.end}
          </button>
        </>
      )}
      <p role="status" class={said.value === RUN_ACTS.sending ? '' : 'wrong'}>
        {said.value}
      </p>
    </div>
  );
}
