/** What became of alarms and news, newest first, by kind, place and urgency. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type {
  AlertEvent,
  AlertHistoryAnswer,
  AlertSettingsAnswer,
} from '../../server/api/messages-alerts.ts';
import { askJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { Choice } from '../setup/fields.tsx';
import { ALERTS } from '../words/alerts.ts';
import { WAS } from '../words/alerts-past.ts';

const PAGE = 50;
type Priority = keyof typeof WAS.priorities;

export function AlertsPast({ state }: { state: BenchState }) {
  const rules = useSignal<readonly (readonly [string, string])[]>([]);
  const rule = useSignal('');
  const station = useSignal('');
  const priority = useSignal<Priority | ''>('');
  const events = useSignal<readonly AlertEvent[]>([]);
  const more = useSignal(false);
  const trouble = useSignal<string | null>(null);
  const asked = useSignal(0);

  const ask = async (before: number | null): Promise<void> => {
    asked.value++;
    const mine = asked.peek();
    const query = new URLSearchParams({ limit: String(PAGE) });
    if (rule.peek() !== '') query.set('rule', rule.peek());
    if (station.peek() !== '') query.set('station', station.peek());
    if (priority.peek() !== '') query.set('priority', priority.peek());
    if (before !== null) query.set('before', String(before));
    const answer = await askJson<AlertHistoryAnswer>(`/api/alerts/history?${query}`);
    // A choice made meanwhile has asked anew.
    if (mine !== asked.peek()) return;
    trouble.value = answer.ok ? null : answer.sentence;
    if (!answer.ok) return;
    events.value = before === null ? answer.value.events : [...events.peek(), ...answer.value.events];
    more.value = answer.value.more;
  };
  useEffect(() => {
    void askJson<AlertSettingsAnswer>('/api/alerts/settings').then((answer) => {
      if (answer.ok) rules.value = answer.value.rules.map(({ key, title }) => [key, title] as const);
    });
    void ask(null);
  }, []);

  const nowMs = state.nowMs.value;
  const format = state.format.value;
  const title = (key: string): string => rules.value.find(([name]) => name === key)?.[1] ?? key;
  return (
    <>
      <div class="row">
        <Choice
          id="was-rule"
          label={WAS.rule}
          value={rule.value}
          options={[['', WAS.anything], ...rules.value]}
          set={(value) => {
            rule.value = value;
            void ask(null);
          }}
        />
        <Choice
          id="was-station"
          label={WAS.station}
          value={station.value}
          options={[
            ['', WAS.everywhere],
            ...(state.bench.value?.stations ?? []).map(({ id }) => [id, id] as const),
          ]}
          set={(value) => {
            station.value = value;
            void ask(null);
          }}
        />
        <Choice<Priority | ''>
          id="was-priority"
          label={WAS.priority}
          value={priority.value}
          options={[['', WAS.anything], ...(Object.entries(WAS.priorities) as [Priority, string][])]}
          set={(value) => {
            priority.value = value;
            void ask(null);
          }}
        />
      </div>
      {trouble.value !== null && (
        <p class="trouble" role="alert">
          {trouble.value}
        </p>
      )}
      {events.value.length === 0 ? (
        <p class="soft">{WAS.none}</p>
      ) : (
        <table class="past" aria-label={ALERTS.past}>
          <thead>
            <tr>
              <th scope="col">{WAS.when}</th>
              <th scope="col">{WAS.rule}</th>
              <th scope="col">{WAS.what}</th>
            </tr>
          </thead>
          <tbody>
            {events.value.map((event) => (
              <tr key={event.number}>
                <td>{format.when(event.atMs, nowMs)}</td>
                <td>
                  {title(event.rule)}, {WAS.states[event.state]}
                  {event.shelved && `, ${WAS.shelved}`}
                </td>
                <td>{event.headline}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {more.value && (
        <button type="button" onClick={() => void ask(events.peek().at(-1)?.number ?? null)}>
          {WAS.older}
        </button>
      )}
    </>
  );
}
