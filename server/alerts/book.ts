/** Every alarm and piece of news that has something to remember, and what a person does to them. */
import type { AlertRecord, Priority } from '../records.ts';
import { utcText } from '../utc.ts';
import { type Crowd, NO_CROWD } from './crowd.ts';
import { type AlarmLife, acknowledge, afterDowntime, isIdle, isStanding, shelve, unshelve } from './life.ts';
import type { NewsLife } from './news.ts';
import { findRule, ruleOf } from './rules.ts';
import type { Subject } from './subjects.ts';

export interface Alarm {
  readonly subject: Subject;
  readonly life: AlarmLife;
}
export interface News {
  readonly subject: Subject;
  readonly life: NewsLife;
}

/** What must outlive a restart, as JSON. */
export interface SavedAlerts {
  readonly version: 1;
  readonly savedMs: number;
  readonly alarms: readonly (readonly [string, Alarm])[];
  readonly news: readonly (readonly [string, News])[];
  readonly crowd: Crowd;
}

export interface AlertBook {
  readonly alarms: Map<string, Alarm>;
  readonly news: Map<string, News>;
  crowd: Crowd;
}

/** Where the bench has more to complain of than this, the rest waits until something is cleared. */
export const MOST_ALARMS = 20_000;

export function openBook(saved: SavedAlerts | null, nowMs: number): AlertBook {
  if (!saved) return { alarms: new Map(), news: new Map(), crowd: NO_CROWD };
  // A clock that was set back while the program was off proves no time at all.
  const downMs = Math.max(0, nowMs - saved.savedMs);
  const known = ({ subject }: { readonly subject: Subject }): boolean => findRule(subject.rule) !== null;
  return {
    alarms: new Map(
      saved.alarms
        .filter(([, alarm]) => known(alarm))
        .map(([id, { subject, life }]) => [id, { subject, life: afterDowntime(life, downMs) }]),
    ),
    news: new Map(saved.news.filter(([, news]) => known(news))),
    crowd: saved.crowd,
  };
}

export const saveBook = (book: AlertBook, nowMs: number): SavedAlerts => ({
  version: 1,
  savedMs: nowMs,
  alarms: [...book.alarms],
  news: [...book.news],
  crowd: book.crowd,
});

export const priorityOf = ({ subject, life }: Alarm): Priority =>
  life.priority ?? ruleOf(subject.rule).priority;

export function alarmRecord({ subject, life }: Alarm, nowMs: number): AlertRecord {
  const { rule, station, spool, job } = subject;
  const unknown = isStanding(life) && life.frozen !== null && life.frozen.reason !== 'held';
  return {
    at: utcText(nowMs),
    kind: 'alert',
    rule,
    station,
    ...(spool === null ? {} : { spool }),
    ...(job === null ? {} : { job }),
    state: unknown ? 'no-data' : life.state,
    ...(life.shelf === null ? {} : { shelved: true }),
    priority: priorityOf({ subject, life }),
    headline: life.words?.headline ?? ruleOf(rule).title,
    number: life.words?.number ?? null,
  };
}

/** Shortest and longest a shelf may be; what may be damaging something is not put aside for a night. */
export const SHELF_LEAST_MS = 60_000;
export const SHELF_MOST_MS = 24 * 3_600_000;
export const SHELF_MOST_HIGH_MS = 3_600_000;
/** A reason is a sentence, not a book. */
export const SHELF_REASON_CHARS = 200;

export type Handled =
  | { readonly ok: true; readonly record: AlertRecord }
  | {
      readonly ok: false;
      readonly reason: 'unknown-name' | 'bad-value';
      readonly detail: string;
    };

const refused = (reason: 'unknown-name' | 'bad-value', detail: string): Handled => ({
  ok: false,
  reason,
  detail,
});

function handle(
  book: AlertBook,
  id: string,
  nowMs: number,
  change: (alarm: Alarm) => AlarmLife | string,
): Handled {
  const alarm = book.alarms.get(id);
  if (!alarm) return refused('unknown-name', `No alarm "${id}" stands; it may have cleared by itself.`);
  const changed = change(alarm);
  if (typeof changed === 'string') return refused('bad-value', changed);
  const next = { ...alarm, life: changed };
  if (isIdle(changed)) book.alarms.delete(id);
  else book.alarms.set(id, next);
  return { ok: true, record: alarmRecord(next, nowMs) };
}

export const acknowledgeAlarm = (book: AlertBook, id: string, nowMs: number): Handled =>
  handle(
    book,
    id,
    nowMs,
    ({ life }) => acknowledge(life, nowMs) ?? 'There is nothing to acknowledge: it has been seen.',
  );

export const shelveAlarm = (
  book: AlertBook,
  id: string,
  forMs: number,
  reason: string,
  nowMs: number,
): Handled =>
  handle(book, id, nowMs, (alarm) => {
    const most = priorityOf(alarm) === 'high' ? SHELF_MOST_HIGH_MS : SHELF_MOST_MS;
    if (!(forMs >= SHELF_LEAST_MS && forMs <= most))
      return `It can be shelved for 1 to ${most / 60_000} minutes.`;
    return shelve(alarm.life, forMs, reason.slice(0, SHELF_REASON_CHARS), nowMs);
  });

export const unshelveAlarm = (book: AlertBook, id: string, nowMs: number): Handled =>
  handle(book, id, nowMs, ({ life }) => unshelve(life) ?? 'It is not shelved.');
