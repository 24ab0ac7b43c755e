/** Jobs that wait for their spool and chamber: it is told as news when one may start. */
import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { WaitingJobWire } from '../../server/api/messages-jobs.ts';
import { askJson } from '../ask.ts';
import type { ScreenProps } from '../shell/screen-props.ts';
import { shortOf, WAITING } from '../words/jobs.ts';
import { gramsIn } from './amounts.ts';

/** The server looks every ten minutes of the bench's time. */
const LOOK_EVERY_MS = 20_000;

/** A waiting job may start at nine in ten. */
const SURE = 0.9;

/** `changed` grows when something here was entered. */
export function Waiting({ post, changed }: ScreenProps & { changed: Signal<number> }) {
  const waiting = useSignal<readonly WaitingJobWire[]>([]);
  const said = useSignal('');
  const mark = changed.value;
  useEffect(() => {
    const look = async (): Promise<void> => {
      const answer = await askJson<{ waiting: WaitingJobWire[] }>('/api/jobs');
      if (answer.ok) waiting.value = answer.value.waiting;
    };
    void look();
    const timer = setInterval(() => void look(), LOOK_EVERY_MS);
    return () => clearInterval(timer);
  }, [mark, waiting]);
  const drop = async (job: string): Promise<void> => {
    const posted = await post({ kind: 'job-drop', job });
    said.value = posted.ok ? '' : posted.sentence;
    changed.value++;
  };
  if (waiting.value.length === 0) return null;
  return (
    <section class="waiting" aria-labelledby="waiting">
      <h2 class="head" id="waiting">
        {WAITING.head}
      </h2>
      <ul>
        {waiting.value.map(({ id, name, spool, grams, hours, mayStart }) => (
          <li key={id}>
            <b>{name}</b> {WAITING.facts(gramsIn(grams), spool, String(hours))}{' '}
            <span class="soft">
              {mayStart === null
                ? WAITING.tooEarly
                : mayStart.now
                  ? WAITING.now
                  : WAITING.notYet(shortOf(mayStart.probability, SURE))}
            </span>{' '}
            <button type="button" onClick={() => void drop(id)}>
              {WAITING.drop}
              <span class="vh"> {name}</span>
            </button>
          </li>
        ))}
      </ul>
      <p role="status" class="wrong">
        {said.value}
      </p>
    </section>
  );
}
