import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import type { Notice } from '../../server/records.ts';
import { MOST_KEPT, MOST_WAITING } from '../../server/storage/notices.ts';
import { openState } from '../../server/storage/state.ts';
import { open, ownFolder, START_MS } from './bench-folder.ts';

const notice = (n: number, priority: Notice['priority'] = 'medium'): Notice => ({
  id: `heating-lost:box:${n}`,
  at: new Date(START_MS + n * 1000).toISOString(),
  rule: 'heating-lost',
  kind: 'alarm',
  priority,
  station: 'box',
  reason: 'first',
  headline: `The box cools, ${n}`,
  text: 'Since 02:10.',
  advice: 'Check its timer.',
  number: null,
});

function storeIn(folder: string) {
  const state = openState({ open, path: join(folder, 'state.sqlite'), clock: falseClock(START_MS) });
  onTestFinished(() => state.close());
  const record = (from: number, to: number, receivers = ['phone', 'mail']): number =>
    state.together(() =>
      state.notices.record(
        Array.from({ length: to - from }, (_, n) => ({ notice: notice(from + n), receivers })),
      ),
    );
  return { state, notices: state.notices, record };
}

const ids = (rows: readonly { readonly notice: Notice }[]): string[] => rows.map(({ notice: { id } }) => id);
const taken = {
  state: 'sent' as const,
  tries: 1,
  dueMs: 0,
  alone: false,
  triedMs: START_MS,
  code: null,
  words: 'ok',
};

test('what is recorded waits for each of its receivers, in order and whole, also after closing', () => {
  const folder = ownFolder();
  const first = storeIn(folder);
  expect(first.record(0, 3)).toBe(3);
  first.notices.judge(
    'phone',
    first.notices.waiting('phone', START_MS, 1).map(({ number }) => ({ number, delivery: taken })),
  );
  first.state.close();
  const { notices, record } = storeIn(folder);
  expect(notices.waiting('phone', START_MS, 9).map((row) => row.notice)).toEqual([notice(1), notice(2)]);
  expect(ids(notices.waiting('mail', START_MS, 2))).toEqual([notice(0).id, notice(1).id]);
  // The same ids again, as after a crash between deciding and going on: nothing is told twice.
  expect(record(0, 3)).toBe(0);
  expect(notices.counts('phone')).toEqual({ waiting: 2, faults: 0, crowdedOut: 0, lastSentMs: START_MS });
  expect(notices.counts('mail').waiting).toBe(3);
});

test('a transaction that fails records nothing', () => {
  const { state, notices } = storeIn(ownFolder());
  expect(() =>
    state.together(() => {
      state.notices.record([{ notice: notice(0), receivers: ['phone'] }]);
      throw new Error('the alert could not be written');
    }),
  ).toThrow('could not be written');
  expect(notices.counts('phone').waiting).toBe(0);
});

test('faults rest until they are due or released, retries set the hold, an untried high one is urgent', () => {
  const { state, notices, record } = storeIn(ownFolder());
  record(0, 3, ['phone']);
  const [a, b] = notices.waiting('phone', START_MS, 9);
  if (!a || !b) throw new Error('nothing waits');
  notices.judge('phone', [
    { number: a.number, delivery: { ...taken, state: 'fault', dueMs: START_MS + 1000, code: 'refused' } },
    { number: b.number, delivery: { ...taken, state: 'retry', dueMs: START_MS + 500, code: 'too-many' } },
  ]);
  expect(ids(notices.waiting('phone', START_MS, 9))).toEqual([notice(1).id, notice(2).id]);
  expect(ids(notices.waiting('phone', START_MS + 1000, 9))[0]).toBe(notice(0).id);
  expect(notices.hold('phone')).toEqual({ untilMs: START_MS + 500, code: 'too-many' });
  expect(notices.nextFaultMs('phone')).toBe(START_MS + 1000);
  expect(notices.urgent('phone')).toBe(false);
  state.together(() => notices.record([{ notice: notice(9, 'high'), receivers: ['phone'] }]));
  expect(notices.urgent('phone')).toBe(true);
  notices.release('phone', 'faults');
  expect(notices.nextFaultMs('phone')).toBe(0);
  expect(notices.hold('phone')?.untilMs).toBe(START_MS + 500);
  notices.release('phone', 'all');
  expect(notices.hold('phone')?.untilMs).toBe(0);
});

test('the queue and the log have their caps; the newest stay', () => {
  const { notices, record } = storeIn(ownFolder());
  const most = MOST_WAITING + 760;
  for (let n = 0; n < most; n += 320) record(n, n + 320, ['phone']);
  const { waiting, crowdedOut } = notices.counts('phone');
  expect(waiting).toBeLessThanOrEqual(MOST_WAITING + 64);
  expect(waiting).toBeGreaterThanOrEqual(MOST_WAITING);
  expect(crowdedOut).toBeGreaterThan(0);
  expect(ids(notices.log('phone', 1))).toEqual([notice(most - 1).id]);
  const rows = notices.waiting('phone', START_MS, 9999);
  notices.judge(
    'phone',
    rows.map(({ number }) => ({ number, delivery: taken })),
  );
  record(most, most + 128, ['phone']);
  expect(notices.log('phone', 9999).length).toBeLessThanOrEqual(MOST_KEPT + 128 + 64);
  expect(ids(notices.log('phone', 9999))).toContain(notice(most - 1).id);
});

test('what waits for a receiver that is no longer named is closed, not lost without a word', () => {
  const { notices, record } = storeIn(ownFolder());
  record(0, 2);
  expect(notices.closeAllBut(['phone'])).toBe(2);
  expect(notices.counts('mail').waiting).toBe(0);
  expect(notices.counts('phone').waiting).toBe(2);
  expect(notices.log('mail', 9)[0]?.delivery).toMatchObject({
    state: 'closed',
    words: expect.stringContaining('no longer in the bench file'),
  });
});
