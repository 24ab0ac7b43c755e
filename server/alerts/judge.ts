/** One look at everything: findings, folding, lives, decisions, notices. Once a second. */
import type { AlertRecord, Notice, NoticeReason } from '../records.ts';
import { utcText } from '../utc.ts';
import { type Alarm, type AlertBook, alarmRecord, MOST_ALARMS, type News, priorityOf } from './book.ts';
import type { Context } from './conditions/context.ts';
import { gather } from './crowd.ts';
import type { Facts } from './facts.ts';
import { type AlarmFinding, CLEAR, type Words } from './finding.ts';
import { foldAlarm, foldNews, type Holds } from './folding.ts';
import { isIdle, isStanding, NEW_LIFE, stepAlarm } from './life.ts';
import { NO_NEWS, stepNews } from './news.ts';
import { decideAlarm, decideNews, newParts } from './notices.ts';
import { isQuietNow, type QuietHours } from './quiet-hours.ts';
import { ruleOf } from './rules.ts';
import type { Say } from './say.ts';
import type { SetRule } from './settings.ts';
import type { Subject, Watches } from './subjects.ts';

export interface Moment {
  readonly nowMs: number;
  /** Steady time since the last look. */
  readonly elapsedMs: number;
}

export interface Judgement {
  readonly records: readonly AlertRecord[];
  /** For receivers; a crowd of them is gathered into one. */
  readonly notices: readonly Notice[];
  /** Every notice that was decided on, gathered or not. */
  readonly decided: readonly Notice[];
  /** Something that a list would show otherwise than before. */
  readonly changed: boolean;
}

/**
 * Time in which nobody looked is no proof that a condition held: at most this much of a gap counts, ms. A simulated
 * bench that runs many times as fast as life is looked at once in a good many of its seconds.
 */
const MOST_ELAPSED_MS = 60_000;

/** Rules that say why others cannot be judged. */
const SAYS_WHY: ReadonlySet<string> = new Set(['board-quiet', 'station-quiet', 'sensor-fault']);
const NONE: Context['frozen'] = [];

export function judgeAlerts(
  book: AlertBook,
  facts: Facts,
  { alarms, news }: Watches,
  setRule: (subject: Subject) => SetRule,
  say: Say,
  { nowMs, elapsedMs }: Moment,
): Judgement {
  const records: AlertRecord[] = [];
  const decided: Notice[] = [];
  let changed = false;
  const heldMs = Math.min(MOST_ELAPSED_MS, Math.max(0, elapsedMs));
  const quiet = createQuietLook(nowMs);

  const frozen = frozenByStation(book);
  const found: { subject: Subject; finding: AlarmFinding }[] = [];
  const holding = new Set<string>();
  for (const { subject, judge } of alarms) {
    const life = book.alarms.get(subject.id)?.life ?? NEW_LIFE;
    const finding = judge(facts, contextFor(subject, life.mark, isStanding(life)));
    if (subject.station !== null && (finding.kind === 'met' || isStanding(life)))
      holding.add(`${subject.rule} ${subject.station}`);
    found.push({ subject, finding });
  }
  const holds: Holds = (rule, station) => holding.has(`${rule} ${station}`);

  const seen = new Set<string>();
  for (const { subject, finding } of found) {
    seen.add(subject.id);
    settle(subject, foldAlarm(subject, finding, holds));
  }
  // Taken off the bench, out of the list of spools or jobs: a person did that, so it ends here.
  for (const [id, { subject }] of book.alarms) if (!seen.has(id)) settle(subject, CLEAR, true);

  const toldOf = new Set<string>();
  for (const { subject, judge } of news) {
    const { id } = subject;
    toldOf.add(id);
    const set = setRule(subject);
    const finding = foldNews(subject, judge(facts, contextFor(subject, null, false)), holds);
    const before = book.news.get(id)?.life ?? NO_NEWS;
    const step = stepNews(before, finding, set, heldMs, nowMs);
    let { life } = step;
    const decision = decideNews(life, quiet(set.quietHours));
    if (decision.outcome !== 'nothing-new' && life.words !== null && life.state !== 'unknown') {
      const words = (life.told?.words ?? 0) + 1;
      const told = life.state;
      life = { ...life, told: { state: told, words, agoMs: 0 } };
      decided.push(noticeOf({ subject, life }, decision.outcome, life.words as Words, words));
    }
    if (life !== before) {
      if (life.run === null) book.news.delete(id);
      else book.news.set(id, { subject, life });
    }
    if (step.change !== null) {
      changed = true;
      records.push(newsRecord({ subject, life }, nowMs));
    }
  }
  for (const id of book.news.keys()) if (!toldOf.has(id)) book.news.delete(id);

  const { crowd, told } = gather(book.crowd, decided, heldMs, nowMs);
  book.crowd = crowd;
  return { records, notices: told, decided, changed: changed || decided.length > 0 };

  function contextFor(subject: Subject, mark: Context['mark'], standing: boolean): Context {
    const { level, deadband } = setRule(subject);
    return {
      facts,
      say,
      nowMs,
      level,
      deadband,
      standing,
      mark,
      frozen: frozen.size > 0 && SAYS_WHY.has(subject.rule) ? frozenAt(subject) : NONE,
    };
  }

  function frozenAt({ station, source }: Subject): Context['frozen'] {
    if (station !== null) return frozen.get(station) ?? NONE;
    const here = facts.stations.filter((one) => one.source === source);
    return here.flatMap(({ id }) => frozen.get(id) ?? NONE);
  }

  function settle(subject: Subject, finding: AlarmFinding, atOnce = false): void {
    const { id } = subject;
    const before = book.alarms.get(id);
    if (!before && (finding.kind !== 'met' || book.alarms.size >= MOST_ALARMS)) return;
    const set = setRule(subject);
    const delays = atOnce ? { onDelayMs: 0, offDelayMs: 0 } : set;
    const step = stepAlarm(before?.life ?? NEW_LIFE, finding, delays, heldMs, nowMs);
    let { life } = step;
    const decision = decideAlarm(life, {
      quietNow: quiet(set.quietHours) && (life.priority ?? set.rule.priority) === 'low',
      repeatMs: set.repeatMs,
      tellsReturn: set.rule.tellsReturn,
    });
    if (decision.outcome === 'nothing-new') {
      // Over and not worth a word: the next raise begins a telling of its own.
      if (decision.why === 'not-worth-a-word') life = { ...life, told: null };
    } else if (life.words !== null) {
      const words = (life.told?.words ?? 0) + 1;
      const said = decision.outcome === 'returned' ? returnWords(subject, life.words, say) : life.words;
      decided.push(noticeOf({ subject, life }, decision.outcome, said, words));
      life =
        decision.outcome === 'returned'
          ? { ...life, told: null }
          : { ...life, told: { words, agoMs: 0, detail: detailTold(life) } };
    }
    if (isIdle(life)) book.alarms.delete(id);
    else book.alarms.set(id, { subject, life });
    if (step.changes.length > 0) {
      changed = true;
      records.push(alarmRecord({ subject, life }, nowMs));
    }
  }

  function noticeOf(about: Alarm | News, reason: NoticeReason, words: Words, number: number): Notice {
    const { subject, life } = about;
    const rule = ruleOf(subject.rule);
    const raise = 'raisedMs' in life ? String(Math.round(life.raisedMs ?? nowMs)) : (life.run ?? '');
    return {
      id: safeId(`${subject.id}:${raise}:${number}`),
      at: utcText(nowMs),
      rule: rule.key,
      kind: rule.kind,
      priority: 'raisedMs' in life ? priorityOf({ subject, life }) : rule.priority,
      station: subject.station,
      ...(subject.spool === null ? {} : { spool: subject.spool }),
      reason,
      ...words,
    };
  }
}

function detailTold({ detail, told }: Alarm['life']): string {
  const before = told?.detail ?? '';
  return [before, ...newParts(detail, before)].join(' ').trim();
}

/** Whether it is quiet now, asked of the zone once for each set of hours. */
function createQuietLook(nowMs: number): (hours: QuietHours | null) => boolean {
  const looked = new Map<QuietHours, boolean>();
  return (hours) => {
    if (hours === null) return false;
    const known = looked.get(hours);
    if (known !== undefined) return known;
    const quiet = isQuietNow(hours, nowMs);
    looked.set(hours, quiet);
    return quiet;
  };
}

/** Alarms that stand and cannot be judged, by station; gathered once a look. */
function frozenByStation(book: AlertBook): ReadonlyMap<string, Context['frozen']> {
  const found = new Map<string, Context['frozen'][number][]>();
  for (const alarm of book.alarms.values()) {
    const { frozen } = alarm.life;
    const { station, rule } = alarm.subject;
    if (station === null || frozen === null || frozen.reason === 'held' || !isStanding(alarm.life)) continue;
    const here = found.get(station);
    const one = { title: ruleOf(rule).title, priority: priorityOf(alarm) };
    if (here) here.push(one);
    else found.set(station, [one]);
  }
  return found;
}

function returnWords(subject: Subject, words: Words, say: Say): Words {
  const { title } = ruleOf(subject.rule);
  const where =
    subject.station === null
      ? subject.source
        ? ` (board on ${subject.source})`
        : ''
      : ` (${say.place(subject.station)})`;
  const what = subject.spool === null ? '' : `, “${subject.spool}”`;
  return {
    headline: `Over: ${title.charAt(0).toLowerCase()}${title.slice(1)}${what}${where}.`,
    text: `Last said: ${words.headline}`,
    advice: 'Nothing more to do about it now.',
    number: words.number,
  };
}

function newsRecord({ subject, life }: News, nowMs: number): AlertRecord {
  const { rule, station, spool, job } = subject;
  return {
    at: utcText(nowMs),
    kind: 'alert',
    rule,
    station,
    ...(spool === null ? {} : { spool }),
    ...(job === null ? {} : { job }),
    state: life.state === 'true' ? 'told' : 'withdrawn',
    priority: ruleOf(rule).priority,
    headline: life.words?.headline ?? ruleOf(rule).title,
    number: life.words?.number ?? null,
  };
}

/** Names may hold any character; an id is `A-Za-z0-9_.:/-`, 120 of them at most. */
function safeId(text: string): string {
  const plain = text.replace(/[^A-Za-z0-9_.:/-]/gu, (one) => `-${one.codePointAt(0)?.toString(16)}-`);
  return plain.length <= 120 ? plain : `${plain.slice(0, 80)}${plain.slice(-40)}`;
}
