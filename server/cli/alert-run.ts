/** Alarms and news in the running program: kept, then listed, shown and handed on, in that order. */
import type { Judgement } from '../alerts/judge.ts';
import type { AlertOutcome, AlertsView } from '../api/routes-alerts.ts';
import type { Clock, Instant } from '../clock.ts';
import type { AlertDesk } from '../desks/alert-desk.ts';
import type { AlertRecord, Notice } from '../records.ts';
import type { AlertHistory } from '../storage/alert-history.ts';
import { StorageError } from '../storage/errors.ts';
import { settingsOf, wireAlert, wireSettings } from '../view-alerts.ts';
import { type AlertDocuments, createAlertKeeper, keepSettings } from './keep-alerts.ts';

export interface AlertRunParts {
  readonly desk: AlertDesk;
  readonly documents: AlertDocuments;
  readonly history: AlertHistory;
  /** The bench's own time. */
  readonly clock: Clock;
  readonly show: { alertsChanged(): void };
  readonly log: {
    info(facts: object, message: string): void;
    warn(facts: object, message: string): void;
    error(facts: object, message: string): void;
  };
  /** To the receivers, which write them down before they send. */
  send(notices: readonly Notice[]): void;
}

export interface AlertRun extends AlertsView {
  /** Hands on what was decided before the last end and perhaps not handed on. */
  begin(): void;
  alerted(judgement: Judgement, at: Instant): void;
  /** Once a minute, and at the end. */
  keep(): void;
}

export function startAlertRun(parts: AlertRunParts): AlertRun {
  const { desk, documents, history, clock, show, log } = parts;
  const keeper = createAlertKeeper(desk, documents);

  /** False: the disk would not have it; the alarm goes on all the same. */
  const written = (work: () => void): boolean => {
    try {
      work();
      return true;
    } catch (error) {
      if (!(error instanceof StorageError)) throw error;
      log.error({ code: error.code }, `Alarms could not be kept: ${error.message}`);
      return false;
    }
  };
  const happened = (records: readonly AlertRecord[], notices: readonly Notice[], at: Instant): void => {
    written(() => keeper.keep(at, notices));
    written(() => history.add(records));
    show.alertsChanged();
    for (const { kind, priority, rule, station, headline, reason } of notices) {
      const facts = { rule, reason, ...(station === null ? {} : { station }) };
      if (kind === 'alarm' && priority !== 'low' && reason !== 'returned') log.warn(facts, headline);
      else log.info(facts, headline);
    }
    if (notices.length === 0) return;
    parts.send(notices);
    written(() => keeper.handedOn());
  };
  const did = (handle: (at: Instant) => ReturnType<AlertDesk['acknowledge']>): AlertOutcome => {
    const at = clock.now();
    const handled = handle(at);
    if (!handled.ok) return handled;
    happened([handled.record], [], at);
    return { ok: true };
  };

  return {
    begin() {
      const left = keeper.left();
      if (left.length === 0) return;
      parts.send(left);
      written(() => keeper.handedOn());
    },
    alerted({ records, notices, changed }, at) {
      if (changed || records.length > 0 || notices.length > 0) happened(records, notices, at);
    },
    keep() {
      written(() => keeper.keep(clock.now()));
      // What it says grows older: "quiet for six minutes".
      show.alertsChanged();
    },
    alerts: () => desk.views(clock.now()).map(wireAlert),
    acknowledge: (id) => did((at) => desk.acknowledge(id, at)),
    shelve: (id, minutes, reason) => did((at) => desk.shelve(id, minutes * 60_000, reason, at)),
    unshelve: (id) => did((at) => desk.unshelve(id, at)),
    history(query) {
      const { events, more } = history.read(query);
      return { events: [...events], more };
    },
    settings: () => wireSettings(desk.settings()),
    set(wanted) {
      const settings = settingsOf(wanted);
      const wrong = desk.set(settings);
      if (wrong !== null) return { ok: false, reason: 'bad-value', detail: wrong };
      keepSettings(documents, settings);
      show.alertsChanged();
      return { ok: true };
    },
  };
}
