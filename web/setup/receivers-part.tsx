/** Who is told of notices: how each stands, what it answered last, and a test of it. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ReceiverState, TestAnswer } from '../../server/api/messages-receivers.ts';
import { askJson, postJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { RECEIVERS } from '../words/setup.ts';

export function ReceiversPart({ state }: { state: BenchState }) {
  const receivers = useSignal<readonly ReceiverState[] | null>(null);
  const tests = useSignal<ReadonlyMap<string, string>>(new Map());
  const look = async (): Promise<void> => {
    const answer = await askJson<{ receivers: ReceiverState[] }>('/api/receivers');
    if (answer.ok) receivers.value = answer.value.receivers;
  };
  useEffect(() => void look(), []);
  const say = (id: string, words: string): void => {
    tests.value = new Map(tests.value).set(id, words);
  };
  const test = async (id: string): Promise<void> => {
    say(id, RECEIVERS.testing);
    const answer = await postJson<TestAnswer>(`/api/receivers/${encodeURIComponent(id)}/test`, {});
    say(id, answer.ok ? answer.value.words : answer.sentence);
    await look();
  };
  if (!receivers.value) return null;
  const format = state.format.value;
  return (
    <section class="setup" aria-labelledby="receivers">
      <h2 class="head" id="receivers">
        {RECEIVERS.head}
      </h2>
      <p class="soft">{RECEIVERS.tell}</p>
      {receivers.value.length === 0 && <p>{RECEIVERS.none}</p>}
      <ul class="ports">
        {receivers.value.map((receiver) => (
          <li key={receiver.id}>
            <div class="line">
              <b>{receiver.id}</b>
              <span class="soft">
                {RECEIVERS.what(receiver.kind, receiver.where, receiver.leastPriority, receiver.kinds)}
              </span>
              <button type="button" onClick={() => void test(receiver.id)}>
                {RECEIVERS.test}
                <span class="vh"> {receiver.id}</span>
              </button>
            </div>
            <p class={receiver.state === 'fault' ? 'wrong' : ''}>
              {receiver.words}
              {receiver.waiting > 0 && ` ${RECEIVERS.waiting(receiver.waiting)}`}
              {receiver.lastSentMs !== null &&
                ` ${RECEIVERS.lastSent(format.when(receiver.lastSentMs, state.nowMs.value))}`}
            </p>
            <p role="status">{tests.value.get(receiver.id) ?? ''}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}
