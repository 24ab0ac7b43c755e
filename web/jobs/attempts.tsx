/** Attempts kept: a list of them, and two side by side on their own time. */
import { type Signal, useComputed, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { DifferencesAnswer, JobState } from '../../server/api/messages-jobs.ts';
import { askJson } from '../ask.ts';
import type { ScreenProps } from '../shell/screen-props.ts';
import { ATTEMPTS } from '../words/jobs.ts';
import { gramsIn, spanText } from './amounts.ts';
import { sayDifference, sayOutcome, sayWindow, settingText } from './attempt-words.ts';
import { useJobHistory } from './job-history.ts';
import { JobLanes, scalesOf } from './job-lanes.tsx';
import { OutcomeForm } from './outcome-form.tsx';
import type { RunFacts } from './run-words.ts';
import { Excursions, runFactsOf } from './running-job.tsx';

const AGAIN_MS = 5000;

export function Attempts({ state, post, route }: ScreenProps) {
  const fetched = useSignal<readonly JobState[] | null>(null);
  const missing = useSignal(false);
  const turn = useSignal(0);
  const live = state.bench.value?.jobs ?? [];
  const changed = live.map((job) => `${job.id} ${job.state} ${job.outcome}`).join();
  useEffect(() => {
    const calledOff = new AbortController();
    let timer: ReturnType<typeof setTimeout> | undefined;
    const ask = async (): Promise<void> => {
      const answer = await askJson<{ jobs: JobState[] }>('/api/jobs', calledOff.signal);
      if (calledOff.signal.aborted) return;
      missing.value = !answer.ok;
      if (answer.ok) fetched.value = answer.value.jobs;
      else timer = setTimeout(() => void ask(), AGAIN_MS);
    };
    void ask();
    return () => {
      calledOff.abort();
      clearTimeout(timer);
    };
  }, [fetched, missing, changed, turn.value]);
  const jobs = useComputed(() => {
    const now = state.bench.value?.jobs ?? [];
    const known = fetched.value ?? [];
    const isNew = (job: JobState): boolean => !known.some(({ id }) => id === job.id);
    // What is live is newer than what was fetched.
    return [
      ...now.filter(isNew),
      ...known.map((job) => now.find(({ id, atMs }) => id === job.id && atMs > job.atMs) ?? job),
    ];
  }).value;
  const params = new URLSearchParams(route.place.value.query);
  const ended = jobs.filter((job) => job.state === 'ended');
  const chosen = (side: 'left' | 'right', usual: JobState | undefined): JobState | null =>
    jobs.find(({ id }) => id === params.get(side)) ?? usual ?? null;
  const left = chosen('left', ended[1] ?? ended[0]);
  const right = chosen(
    'right',
    ended.find((job) => job !== left),
  );
  const choose = (side: 'left' | 'right', id: string): void => {
    params.set(side, id);
    route.refine(params.toString());
  };
  const facts = runFactsOf(state);
  return (
    <section class="attempts" aria-label={ATTEMPTS.head}>
      <h2 class="head">{ATTEMPTS.head}</h2>
      {missing.value && <p class="trouble">{ATTEMPTS.notArrived}</p>}
      {jobs.length === 0 && fetched.value !== null && (
        <>
          <p>{ATTEMPTS.none}</p>
          <p class="soft">{ATTEMPTS.noneTell}</p>
        </>
      )}
      <ul class="jobs">
        {jobs.map((job) => (
          <li key={job.id}>
            <b>{job.name}</b>
            <span class="soft">{facts.format.when(job.startedMs, facts.nowMs)}</span>
            <span>{ATTEMPTS.facts(gramsIn(job.fedG), job.spool, spanText(job.printedMs))}</span>
            <span>{sayWindow(job)}</span>
            <b>{sayOutcome(job)}</b>
            <span class="sides">
              <button
                type="button"
                aria-pressed={left?.id === job.id}
                aria-label={ATTEMPTS.putLeft(job.name)}
                onClick={() => choose('left', job.id)}
              >
                {ATTEMPTS.sides.left}
              </button>
              <button
                type="button"
                aria-pressed={right?.id === job.id}
                aria-label={ATTEMPTS.putRight(job.name)}
                onClick={() => choose('right', job.id)}
              >
                {ATTEMPTS.sides.right}
              </button>
            </span>
          </li>
        ))}
      </ul>
      {(left ?? right) && (
        <Pair
          left={left}
          right={right}
          facts={facts}
          post={post}
          several={jobs.length > 1}
          outcomeKept={() => turn.value++}
        />
      )}
    </section>
  );
}

function Pair(props: {
  readonly left: JobState | null;
  readonly right: JobState | null;
  readonly facts: RunFacts;
  readonly post: ScreenProps['post'];
  /** There are others to choose. */
  readonly several: boolean;
  outcomeKept(): void;
}) {
  const { left, right, facts, post, several, outcomeKept } = props;
  const boxOf = (job: JobState | null): string | null =>
    facts.spools.find(({ id }) => id === job?.spool)?.station ?? null;
  const leftSeries = useJobHistory(left, boxOf(left));
  const rightSeries = useJobHistory(right === left ? null : right, boxOf(right));
  const two = left && right && left.id !== right.id ? ([left, right] as const) : null;
  const shown = [left, ...(two ? [right] : [])].filter((job) => job !== null);
  const seriesOf = (job: JobState) => (job === left ? leftSeries : rightSeries).value;
  const scales = scalesOf(shown, shown.map(seriesOf), facts.format);
  return (
    <div class="pair">
      <h2 class="head">{two ? ATTEMPTS.against(two[0].name, two[1].name) : ATTEMPTS.alone}</h2>
      {two && <Differences two={two} facts={facts} />}
      {!two && several && <p class="soft">{ATTEMPTS.chooseTwo}</p>}
      <div class="columns">
        {shown.map((job) => (
          <article key={job.id} aria-label={job.name}>
            <h3>
              {job.name} <span class="soft">{sayOutcome(job)}</span>
            </h3>
            {job.note !== '' && <p class="note-said">{job.note}</p>}
            <JobLanes job={job} series={seriesOf(job)} scales={scales} format={facts.format} />
            <Excursions job={job} facts={facts} />
            <SettingsSaid job={job} />
            <p>
              <a href={`/report?job=${encodeURIComponent(job.id)}`}>{ATTEMPTS.report}</a>
            </p>
            {job.state === 'ended' && <Outcome job={job} post={post} kept={outcomeKept} />}
          </article>
        ))}
      </div>
    </div>
  );
}

function Outcome({ job, post, kept }: { job: JobState; post: ScreenProps['post']; kept(): void }) {
  return (
    <details open={job.outcome === null} key={job.outcome ?? ''}>
      <summary>{job.outcome === null ? ATTEMPTS.say(job.name) : ATTEMPTS.change}</summary>
      <OutcomeForm job={job} post={post} kept={kept} />
    </details>
  );
}

function SettingsSaid({ job }: { job: JobState }) {
  const rows = Object.entries(job.settings);
  if (rows.length === 0) return null;
  return (
    <dl class="facts">
      {rows.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{settingText(value)}</dd>
        </div>
      ))}
    </dl>
  );
}

function Differences({ two, facts }: { two: readonly [JobState, JobState]; facts: RunFacts }) {
  const found: Signal<DifferencesAnswer['differences'] | null> = useSignal(null);
  const [left, right] = two;
  const newest = `${left.atMs} ${left.outcome} ${right.atMs} ${right.outcome}`;
  useEffect(() => {
    const calledOff = new AbortController();
    const path = `/api/jobs/differences?${new URLSearchParams({ left: left.id, right: right.id })}`;
    void askJson<DifferencesAnswer>(path, calledOff.signal).then((answer) => {
      if (!calledOff.signal.aborted) found.value = answer.ok ? answer.value.differences : null;
    });
    return () => calledOff.abort();
  }, [found, left.id, right.id, newest]);
  if (found.value === null) return null;
  return (
    <div class="differ">
      <p class="soft">{ATTEMPTS.differ}</p>
      {found.value.length === 0 && <p>{ATTEMPTS.differNone}</p>}
      <ol>
        {found.value.map((difference) => (
          <li key={JSON.stringify(difference.what)}>{sayDifference(difference, facts.format)}</li>
        ))}
      </ol>
      <p class="soft">{ATTEMPTS.cause}</p>
    </div>
  );
}
