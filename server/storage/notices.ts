/**
 * Notices on their way: each is on the disk, with the receivers it is for, before anything is sent, and stays until each
 * has taken it. What was taken is kept a while as the receivers' log. Part of the state file, so that a notice and the
 * alert it tells of can be written as one.
 */
import type { Notice, Priority } from '../records.ts';
import { prepareNotices } from './notice-tables.ts';
import type { Database, Row } from './sqlite.ts';

export type KeptState = 'waiting' | 'retry' | 'fault' | 'sent' | 'crowded-out' | 'closed';

/** As the notifiers know it; kept here as it is. */
export interface KeptDelivery {
  readonly state: KeptState;
  readonly tries: number;
  readonly dueMs: number;
  readonly alone: boolean;
  readonly triedMs: number | null;
  readonly code: string | null;
  readonly words: string | null;
}

export interface KeptNotice {
  readonly number: number;
  readonly notice: Notice;
  readonly delivery: KeptDelivery;
}

export interface NoticeStore {
  /**
   * Each notice with the receivers it is for; one whose id is known is not taken twice. To be called inside
   * `State.together`, so that all of it is written or none. Returns how many were new.
   */
  record(notices: readonly { readonly notice: Notice; readonly receivers: readonly string[] }[]): number;
  /** Oldest first: all that waits for a receiver, save faults that are not due yet. */
  waiting(receiver: string, nowMs: number, most: number): readonly KeptNotice[];
  /** The latest time that its retries wait for. */
  hold(receiver: string): { readonly untilMs: number; readonly code: string | null } | null;
  /** A notice of high priority waits that was never tried. */
  urgent(receiver: string): boolean;
  /** The earliest time at which a fault is due again. */
  nextFaultMs(receiver: string): number | null;
  /** One transaction; not to be called inside another. */
  judge(
    receiver: string,
    judged: readonly { readonly number: number; readonly delivery: KeptDelivery }[],
  ): void;
  /** Faults, or whatever waits for its time, are tried again at once. */
  release(receiver: string, which: 'faults' | 'all'): void;
  counts(receiver: string): NoticeCounts;
  /** Newest first. */
  log(receiver: string, most: number): readonly KeptNotice[];
  /** Closes what waits for receivers that are no longer in the bench file. Returns how many. */
  closeAllBut(receivers: readonly string[]): number;
}

export interface NoticeCounts {
  readonly waiting: number;
  readonly faults: number;
  /** Given up since too many waited. */
  readonly crowdedOut: number;
  readonly lastSentMs: number | null;
}

/** Months of alarms at a receiver that never answers; the oldest beyond are closed as `crowded-out`, and counted. */
export const MOST_WAITING = 5000;
/** Taken ones kept a receiver, as its log. */
export const MOST_KEPT = 500;
/** Tidied each time so many notices have been recorded. */
const TIDY_EVERY = 64;

const URGENT: Priority = 'high';

/** `ready` opens the file if need be and throws StorageError where it cannot be had. */
export function createNoticeStore(ready: () => Database): NoticeStore {
  let statements: ReturnType<typeof prepareNotices> | null = null;
  let preparedFor: Database | null = null;
  const open = () => {
    const db = ready();
    if (db !== preparedFor || !statements) {
      statements = prepareNotices(db);
      preparedFor = db;
    }
    return { db, ...statements };
  };

  return {
    record(notices) {
      const { addNotice, addDelivery, crowdOut, tidySent, tidyNotices } = open();
      let added = 0;
      for (const { notice, receivers } of notices) {
        if (receivers.length === 0) continue;
        const row = addNotice.get(notice.id, notice.priority === URGENT ? 1 : 0, JSON.stringify(notice));
        // Known already: it was recorded before a crash, say, and is on its way.
        if (!row) continue;
        const number = Number(row['number']);
        added++;
        for (const receiver of receivers) {
          addDelivery.run(receiver, number);
          if (number % TIDY_EVERY !== 0) continue;
          crowdOut.run(receiver, MOST_WAITING);
          tidySent.run(receiver, MOST_KEPT);
        }
        if (number % TIDY_EVERY === 0) tidyNotices.run();
      }
      return added;
    },
    waiting: (receiver, nowMs, most) => open().waiting.all(receiver, nowMs, most).map(keptNotice),
    hold(receiver) {
      const row = open().hold.get(receiver);
      return row ? { untilMs: Number(row['due_ms']), code: textOrNull(row['code']) } : null;
    },
    urgent: (receiver) => open().urgent.get(receiver) !== undefined,
    nextFaultMs(receiver) {
      const due = open().nextFault.get(receiver)?.['due_ms'];
      return due === null || due === undefined ? null : Number(due);
    },
    judge(receiver, judged) {
      const { db, judge } = open();
      db.inTransaction(() => {
        for (const { number, delivery } of judged)
          judge.run(
            delivery.state,
            delivery.tries,
            Math.floor(delivery.dueMs),
            delivery.alone ? 1 : 0,
            delivery.triedMs === null ? null : Math.floor(delivery.triedMs),
            delivery.code,
            delivery.words,
            receiver,
            number,
          );
      });
    },
    release(receiver, which) {
      const { releaseFaults, releaseAll } = open();
      (which === 'all' ? releaseAll : releaseFaults).run(receiver);
    },
    counts(receiver) {
      const row = open().counts.get(receiver);
      const lastSent = row?.['last_sent'];
      return {
        waiting: Number(row?.['waiting'] ?? 0),
        faults: Number(row?.['faults'] ?? 0),
        crowdedOut: Number(row?.['crowded_out'] ?? 0),
        lastSentMs: lastSent === null || lastSent === undefined ? null : Number(lastSent),
      };
    },
    log: (receiver, most) => open().log.all(receiver, most).map(keptNotice),
    closeAllBut(receivers) {
      const { db, strangers, close } = open();
      const gone = strangers.all().filter((row) => !receivers.includes(String(row['receiver'])));
      return db.inTransaction(() => gone.reduce((sum, row) => sum + close.run(row['receiver'] as string), 0));
    },
  };
}

const textOrNull = (value: unknown): string | null => (value === null ? null : String(value));

const keptNotice = (row: Row): KeptNotice => ({
  number: Number(row['number']),
  notice: JSON.parse(String(row['json'])) as Notice,
  delivery: {
    state: String(row['state']) as KeptState,
    tries: Number(row['tries']),
    dueMs: Number(row['due_ms']),
    alone: row['alone'] === 1,
    triedMs: row['tried_ms'] === null ? null : Number(row['tried_ms']),
    code: textOrNull(row['code']),
    words: textOrNull(row['words']),
  },
});
