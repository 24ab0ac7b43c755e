/** The book as a list for a person: the most pressing first. */
import { type AlertKind, type NoticeNumber, PRIORITIES, type Priority } from '../records.ts';
import { type AlertBook, priorityOf } from './book.ts';
import type { AlarmState } from './life.ts';
import { RULE_KEYS, ruleOf } from './rules.ts';

export interface AlertView {
  readonly id: string;
  readonly rule: string;
  readonly title: string;
  readonly kind: AlertKind;
  readonly priority: Priority;
  readonly station: string | null;
  readonly spool: string | null;
  readonly job: string | null;
  /** Of news: `true`, or `withdrawn`. */
  readonly state: AlarmState | 'true' | 'withdrawn';
  /** When the trouble itself began, or the news came true. */
  readonly sinceMs: number | null;
  readonly returnedMs: number | null;
  readonly acknowledgedMs: number | null;
  /** Since when it cannot be judged; what it says is as it was then. */
  readonly noDataSinceMs: number | null;
  readonly shelf: { readonly sinceMs: number; readonly untilMs: number; readonly reason: string } | null;
  readonly headline: string;
  readonly text: string;
  readonly advice: string;
  readonly caution: string | null;
  readonly number: NoticeNumber | null;
}

/** Alarms that have returned and were not seen yet are in it, and shelved ones; a condition still in its on-delay is not. */
export function alertViews(book: AlertBook, nowMs: number): readonly AlertView[] {
  const alarms = [...book.alarms].flatMap(([id, alarm]): AlertView[] => {
    const { subject, life } = alarm;
    const { words } = life;
    if (words === null || (life.state === 'normal' && life.shelf === null)) return [];
    const rule = ruleOf(subject.rule);
    const standing = life.state === 'active' || life.state === 'acknowledged';
    return [
      {
        id,
        rule: rule.key,
        title: rule.title,
        kind: rule.kind,
        priority: priorityOf(alarm),
        station: subject.station,
        spool: subject.spool,
        job: subject.job,
        state: life.state,
        sinceMs: life.sinceMs ?? life.raisedMs,
        returnedMs: standing ? null : life.returnedMs,
        acknowledgedMs: life.acknowledgedMs,
        noDataSinceMs: life.frozen && life.frozen.reason !== 'held' ? life.frozen.sinceMs : null,
        shelf: life.shelf && {
          sinceMs: life.shelf.sinceMs,
          untilMs: nowMs + life.shelf.leftMs,
          reason: life.shelf.reason,
        },
        headline: words.headline,
        text: words.text,
        advice: words.advice,
        caution: words.caution ?? null,
        number: words.number,
      },
    ];
  });
  const news = [...book.news].flatMap(([id, { subject, life }]): AlertView[] => {
    const { words, told } = life;
    if (words === null || (life.state !== 'true' && told === null)) return [];
    const rule = ruleOf(subject.rule);
    return [
      {
        id,
        rule: rule.key,
        title: rule.title,
        kind: rule.kind,
        priority: rule.priority,
        station: subject.station,
        spool: subject.spool,
        job: subject.job,
        state: life.state === 'true' ? 'true' : 'withdrawn',
        sinceMs: life.trueMs,
        returnedMs: null,
        acknowledgedMs: null,
        noDataSinceMs: null,
        shelf: null,
        headline: words.headline,
        text: words.text,
        advice: words.advice,
        caution: words.caution ?? null,
        number: words.number,
      },
    ];
  });
  return [...alarms, ...news].sort(
    (a, b) =>
      Number(a.kind === 'news') - Number(b.kind === 'news') ||
      PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) ||
      RULE_KEYS.indexOf(a.rule as (typeof RULE_KEYS)[number]) -
        RULE_KEYS.indexOf(b.rule as (typeof RULE_KEYS)[number]) ||
      a.id.localeCompare(b.id),
  );
}
