import { expect, test } from 'vitest';
import { createBook, type DiskBook, MOST_IN_MEMORY } from '../../server/notifiers/book.ts';
import { type Delivery, NEW_DELIVERY } from '../../server/notifiers/delivery.ts';
import type { Waiting } from '../../server/notifiers/plan.ts';
import { notice, STORY_MS } from './notices.ts';

/** A disk of one receiver's rows that can be full. */
function smallDisk(rows: Waiting[] = []) {
  let isFull = false;
  const may = (): void => {
    if (isFull) throw new Error('the disk is full');
  };
  const disk: DiskBook = {
    record(notices) {
      may();
      for (const entry of notices)
        rows.push({ number: rows.length + 1, notice: entry.notice, delivery: NEW_DELIVERY });
    },
    waiting: (_receiver, nowMs, most) =>
      rows
        .filter(({ delivery: { state, dueMs } }) => state !== 'sent' && (state !== 'fault' || dueMs <= nowMs))
        .slice(0, most),
    hold: () => null,
    urgent: () => rows.some((row) => row.delivery.tries === 0 && row.notice.priority === 'high'),
    nextFaultMs: () => null,
    judge(_receiver, judged) {
      may();
      for (const { number, delivery } of judged)
        rows[number - 1] = { ...(rows[number - 1] as Waiting), delivery };
    },
    release: () => {},
    counts: () => ({ waiting: 0, faults: 0, crowdedOut: 0, lastSentMs: null }),
    log: () => [],
  };
  return {
    disk,
    rows,
    full(full: boolean) {
      isFull = full;
    },
  };
}

const to = (n: number, priority: 'high' | 'medium' = 'medium') => ({
  notice: notice(n, { priority }),
  receivers: ['hook'],
});
const ids = (rows: readonly Waiting[]): string[] => rows.map((row) => row.notice.id);
const sent: Delivery = { ...NEW_DELIVERY, state: 'sent', tries: 1, triedMs: STORY_MS };
const retry: Delivery = {
  ...NEW_DELIVERY,
  state: 'retry',
  tries: 1,
  dueMs: STORY_MS + 5000,
  code: 'timed-out',
};

test('what a full disk will not have is held in memory and waits like the rest, after it', () => {
  const troubles: unknown[] = [];
  const { disk, full } = smallDisk();
  const book = createBook(disk, (error) => troubles.push(error));
  expect(book.record([to(1)])).toBe(true);
  full(true);
  expect(book.record([to(2), to(3, 'high')])).toBe(false);
  expect(troubles).toHaveLength(1);
  const waiting = book.waiting('hook', STORY_MS, 9);
  expect(ids(waiting)).toEqual([notice(1).id, notice(2).id, notice(3).id]);
  expect(book.urgent('hook')).toBe(true);
  expect(book.counts('hook').waiting).toBe(2);
  const [, second, third] = waiting as [Waiting, Waiting, Waiting];
  book.judge('hook', [
    { number: second.number, delivery: sent },
    { number: third.number, delivery: retry },
  ]);
  expect(ids(book.waiting('hook', STORY_MS, 9))).toEqual([notice(1).id, notice(3).id]);
  expect(book.hold('hook')).toEqual({ untilMs: STORY_MS + 5000, code: 'timed-out' });
  book.release('hook', 'all');
  expect(book.hold('hook')).toEqual({ untilMs: 0, code: 'timed-out' });
});

test('what was sent while the disk was full is not sent again, and is written down once it can be', () => {
  const { disk, rows, full } = smallDisk();
  const book = createBook(disk, () => {});
  book.record([to(1, 'high'), to(2)]);
  full(true);
  const [first] = book.waiting('hook', STORY_MS, 9) as [Waiting];
  book.judge('hook', [{ number: first.number, delivery: sent }]);
  expect(rows[0]?.delivery.state).toBe('waiting');
  expect(ids(book.waiting('hook', STORY_MS, 9))).toEqual([notice(2).id]);
  // The disk still takes it for untried; a wait broken for that would be broken without end.
  expect(book.urgent('hook')).toBe(false);
  full(false);
  book.waiting('hook', STORY_MS, 9);
  expect(rows[0]?.delivery.state).toBe('sent');
});

test('memory has its cap: the oldest make room', () => {
  const { disk, full } = smallDisk();
  const book = createBook(disk, () => {});
  full(true);
  for (let n = 0; n < MOST_IN_MEMORY + 7; n++) book.record([to(n)]);
  const held = book.waiting('hook', STORY_MS, 9999);
  expect(held).toHaveLength(MOST_IN_MEMORY);
  expect(held[0]?.notice.id).toBe(notice(7).id);
});
