/** All alarms in one list, the news as quiet lines, and what was. */
import { useSignal } from '@preact/signals';
import { postJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { Fold, later } from '../shell/later.tsx';
import { ALERTS, MARKS } from '../words/alerts.ts';
import { alarmsOf, comingAlarms, countText, newsOf } from './alert-list.ts';
import { AlertRow } from './alert-row.tsx';
import { useKeptFocus } from './kept-focus.ts';

const AlertsPast = later(async () => (await import('../bench-later.ts')).AlertsPast);

export function AlertsPart({ state }: { state: BenchState }) {
  const bench = state.bench.value;
  const trouble = useSignal<string | null>(null);
  const list = useKeptFocus();
  if (!bench) return null;
  const alarms = alarmsOf(bench.alerts);
  const coming = comingAlarms(bench.stations, alarms);
  const news = newsOf(bench.alerts);
  const unseen = alarms.filter(({ state: of }) => of === 'active' || of === 'returned');
  const format = state.format.value;
  const nowMs = state.nowMs.value;
  const acknowledgeAll = async (): Promise<void> => {
    const answer = await postJson('/api/alerts/acknowledge', { ids: unseen.map(({ id }) => id) });
    trouble.value = answer.ok ? null : answer.sentence;
  };
  return (
    <section class="alerts" aria-labelledby="alerts" ref={list}>
      <h2 class="head" id="alerts" tabIndex={-1}>
        {ALERTS.head}
        <span class="aside">{countText(alarms, coming.length > 0)}</span>
        {unseen.length > 1 && (
          <button type="button" onClick={() => void acknowledgeAll()}>
            {ALERTS.acknowledgeAll}
          </button>
        )}
      </h2>
      {trouble.value !== null && (
        <p class="trouble" role="alert">
          {trouble.value}
        </p>
      )}
      {coming.map((sentence) => (
        <p class="soft" key={sentence}>
          {sentence}
        </p>
      ))}
      {alarms.length > 0 && (
        <ol>
          {alarms.map((alert) => (
            <AlertRow alert={alert} nowMs={nowMs} format={format} key={alert.id} />
          ))}
        </ol>
      )}
      {news.length > 0 && (
        <ul class="news" aria-label={ALERTS.news}>
          {news.map((alert) => (
            <li class="al" key={alert.id}>
              <span class="sh" aria-hidden="true">
                {MARKS[alert.state]}
              </span>
              <p>
                {alert.sinceMs !== null && alert.state === 'true' && (
                  <span class="soft">{format.when(alert.sinceMs, nowMs)} </span>
                )}
                {alert.headline} <span class="soft">{alert.text}</span>
              </p>
            </li>
          ))}
        </ul>
      )}
      <Fold summary={ALERTS.past}>
        <AlertsPast state={state} />
      </Fold>
    </section>
  );
}
