/** The Jobs screen: what runs, when the next job may start, and what became of those before. */
import { useSignal } from '@preact/signals';
import type { ScreenProps } from '../shell/screen-props.ts';
import { useTitle } from '../shell/title.ts';
import { RUN_ACTS } from '../words/jobs.ts';
import { SCREEN_NAMES } from '../words/shell.ts';
import { Attempts } from './attempts.tsx';
import { runAnswer } from './run-words.ts';
import { RunningJob, runFactsOf } from './running-job.tsx';
import { StartCheck } from './start-check.tsx';
import { Waiting } from './waiting.tsx';

export function Screen(props: ScreenProps) {
  const { state } = props;
  const running = (state.bench.value?.jobs ?? []).filter((job) => job.state !== 'ended');
  const [first] = running;
  const changed = useSignal(0);
  useTitle(state, SCREEN_NAMES.jobs, first ? runAnswer(first, runFactsOf(state)).heading : RUN_ACTS.nothing);
  return (
    <>
      {running.map((job) => (
        <RunningJob {...props} job={job} first={job === first} key={job.id} />
      ))}
      <StartCheck {...props} below={running.length > 0} changed={changed} />
      <Waiting {...props} changed={changed} />
      <Attempts {...props} />
    </>
  );
}
