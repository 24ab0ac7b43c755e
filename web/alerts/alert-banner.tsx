/** On every screen, and only for what needs somebody now. */
import { postJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { ALERTS, MARKS } from '../words/alerts.ts';
import { pressing } from './alert-list.ts';

/** More than this at once says no more. */
const MOST_SHOWN = 3;

export function AlertBanner({ state }: { state: BenchState }) {
  const found = pressing(state.bench.value?.alerts ?? []);
  if (found.length === 0) return null;
  const shown = found.slice(0, MOST_SHOWN);
  return (
    <aside class="needs-you" aria-label={ALERTS.banner}>
      <div role="alert">
        {shown.map((alert) => (
          <p key={alert.id}>
            <span aria-hidden="true">{MARKS.active} </span>
            <b>{alert.headline}</b> {alert.advice} {alert.caution}
          </p>
        ))}
        {found.length > shown.length && <p>{ALERTS.more(found.length - shown.length)}</p>}
      </div>
      <button
        type="button"
        onClick={() => void postJson('/api/alerts/acknowledge', { ids: found.map(({ id }) => id) })}
      >
        {found.length === 1 ? ALERTS.acknowledge : ALERTS.acknowledgeAll}
      </button>
    </aside>
  );
}
