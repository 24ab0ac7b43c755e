/** One alarm: its mark, its state in words, what it says and what to do, and what a person may do about it. */
import { useSignal } from '@preact/signals';
import type { Alert } from '../../server/api/messages-alerts.ts';
import type { Answer } from '../ask.ts';
import { postJson } from '../ask.ts';
import type { Format } from '../format.ts';
import { ALERTS, MARKS } from '../words/alerts.ts';
import { faceOf } from './alert-list.ts';

/** Of the choices those that the priority allows are offered. */
const SHELVES_MIN = [15, 60, 240, 480, 1440] as const;
const MOST_HIGH_MIN = 60;

export function AlertRow({ alert, nowMs, format }: { alert: Alert; nowMs: number; format: Format }) {
  const face = faceOf(alert);
  const trouble = useSignal<string | null>(null);
  const shelving = useSignal(false);
  const act = async (path: string, body: object): Promise<boolean> => {
    const answer: Answer<unknown> = await postJson(path, body);
    trouble.value = answer.ok ? null : answer.sentence;
    return answer.ok;
  };
  // Only what it sent closes the form: the answer to an acknowledgement may come when it has been opened since.
  const shelve = async (minutes: number, reason: string): Promise<void> => {
    if (await act('/api/alerts/shelve', { id: alert.id, minutes, reason })) shelving.value = false;
  };
  const mayAcknowledge = alert.state === 'active' || alert.state === 'returned';
  const mayShelve = alert.shelf === null && (alert.state === 'active' || alert.state === 'acknowledged');
  return (
    <li class={`al ${face}`} data-alert={alert.id} tabIndex={-1}>
      <span class="sh" aria-hidden="true">
        {MARKS[face]}
      </span>
      <div>
        <AlertWords alert={alert} nowMs={nowMs} format={format} />
        {shelving.value && (
          <ShelfForm
            alert={alert}
            leave={() => {
              shelving.value = false;
            }}
            shelve={shelve}
          />
        )}
        {trouble.value !== null && (
          <p class="trouble" role="alert">
            {trouble.value}
          </p>
        )}
      </div>
      <span class="act">
        {mayAcknowledge && (
          <button
            type="button"
            aria-label={ALERTS.acknowledgeWhat(alert.title)}
            onClick={() => void act('/api/alerts/acknowledge', { ids: [alert.id] })}
          >
            {ALERTS.acknowledge}
          </button>
        )}
        {mayShelve && !shelving.value && (
          <button
            type="button"
            aria-label={ALERTS.shelveWhat(alert.title)}
            onClick={() => {
              shelving.value = true;
            }}
          >
            {ALERTS.shelve}
          </button>
        )}
        {alert.shelf && (
          <button
            type="button"
            aria-label={ALERTS.unshelveWhat(alert.title)}
            onClick={() => void act('/api/alerts/unshelve', { id: alert.id })}
          >
            {ALERTS.unshelve}
          </button>
        )}
      </span>
    </li>
  );
}

/** State in bold, then the sentence, since when and how sure, what to do, what to mind. */
export function AlertWords({ alert, nowMs, format }: { alert: Alert; nowMs: number; format: Format }) {
  const { shelf, noDataSinceMs, state } = alert;
  const over = state === 'returned' || state === 'normal';
  return (
    <>
      <p>
        <span class="st">{ALERTS.rule(alert.title, faceOf(alert))}</span> {alert.headline}
        {state === 'active' && <> {ALERTS.urgency(alert.priority)}</>}
      </p>
      {!over && (
        <p class="soft">
          {alert.text} {alert.advice}
          {alert.caution !== null && <b> {alert.caution}</b>}
        </p>
      )}
      {noDataSinceMs !== null && !over && <p>{ALERTS.noData(format.when(noDataSinceMs, nowMs))}</p>}
      {shelf && <p>{ALERTS.shelvedUntil(format.when(shelf.untilMs, nowMs), shelf.reason)}</p>}
    </>
  );
}

function ShelfForm(props: {
  alert: Alert;
  shelve(minutes: number, reason: string): Promise<void>;
  leave(): void;
}) {
  const { alert } = props;
  const minutes = useSignal(60);
  const reason = useSignal('');
  const id = `shelf ${alert.id}`;
  const offered = SHELVES_MIN.filter((min) => alert.priority !== 'high' || min <= MOST_HIGH_MIN);
  return (
    <form
      class="shelf"
      aria-label={ALERTS.shelveWhat(alert.title)}
      onSubmit={(event) => {
        event.preventDefault();
        void props.shelve(minutes.value, reason.value);
      }}
      onKeyDown={(event) => {
        if (event.key === 'Escape') props.leave();
      }}
    >
      <span class="field">
        <label for={`${id} for`}>{ALERTS.shelveFor}</label>
        <select
          id={`${id} for`}
          value={String(minutes.value)}
          onChange={(event) => {
            minutes.value = Number(event.currentTarget.value);
          }}
        >
          {offered.map((min) => (
            <option value={String(min)} key={min}>
              {ALERTS.minutes(min)}
            </option>
          ))}
        </select>
      </span>
      <span class="field">
        <label for={`${id} why`}>{ALERTS.shelveReason}</label>
        <input
          id={`${id} why`}
          maxLength={200}
          autoComplete="off"
          value={reason.value}
          onInput={(event) => {
            reason.value = event.currentTarget.value;
          }}
        />
      </span>
      <button type="submit">{ALERTS.shelveDo}</button>
      <button type="button" onClick={props.leave}>
        {ALERTS.leave}
      </button>
    </form>
  );
}
