import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Answer, fault, later, taken } from '../../server/notifiers/answer.ts';
import {
  type Delivery,
  FAULT_WAIT_MS,
  FIRST_WAIT_MS,
  judge,
  LONGEST_ASKED_WAIT_MS,
  LONGEST_WAIT_MS,
  NEW_DELIVERY,
  waitAfter,
} from '../../server/notifiers/delivery.ts';
import { FOLD_ABOVE, FOLD_MOST, heldUntilMs, nextBatch, type Waiting } from '../../server/notifiers/plan.ts';
import { notice } from './notices.ts';

const NOW_MS = Date.UTC(2026, 10, 25, 2, 10);
const one = (answer: Answer, before: Delivery = NEW_DELIVERY): Delivery =>
  judge([before], answer, NOW_MS)[0] as Delivery;

test('waits grow from five seconds to a quarter of an hour and no further', () => {
  const waits = Array.from({ length: 40 }, (_, n) => waitAfter(n + 1));
  // Doubling from 5 s by hand: 5 10 20 40 80 160 320 640 s, then the cap of 900 s.
  expect(waits.slice(0, 10).map((ms) => ms / 1000)).toEqual([5, 10, 20, 40, 80, 160, 320, 640, 900, 900]);
  expect(waits.at(-1)).toBe(LONGEST_WAIT_MS);
});

test('what may mend is retried, what the receiver asks for is honoured within bounds', () => {
  expect(one(later('connection-refused', 'w'))).toMatchObject({
    state: 'retry',
    tries: 1,
    dueMs: NOW_MS + FIRST_WAIT_MS,
    code: 'connection-refused',
    triedMs: NOW_MS,
  });
  expect(one(later('too-many', 'w', 120_000)).dueMs).toBe(NOW_MS + 120_000);
  expect(one(later('too-many', 'w', 0)).dueMs).toBe(NOW_MS + FIRST_WAIT_MS);
  expect(one(later('too-many', 'w', 1e12)).dueMs).toBe(NOW_MS + LONGEST_ASKED_WAIT_MS);
});

test('a refusal is a fault that rests for an hour; a fold refused for its content is taken apart first', () => {
  expect(one(fault('refused', 'w'))).toMatchObject({ state: 'fault', dueMs: NOW_MS + FAULT_WAIT_MS });
  const batch = Array.from({ length: 3 }, () => NEW_DELIVERY);
  for (const apart of judge(batch, fault('refused', 'w', 'content'), NOW_MS))
    expect(apart).toMatchObject({ state: 'waiting', alone: true, dueMs: 0 });
  for (const whole of judge(batch, fault('refused', 'w'), NOW_MS)) expect(whole.state).toBe('fault');
  expect(one(fault('refused', 'w', 'content')).state).toBe('fault');
});

test('whatever a receiver answers, nothing is lost and every wait ends: 2,000 random lives', () => {
  const answers = fc.oneof(
    fc.constant(taken('ok')),
    fc.nat(1e9).map((ms) => later('too-many', 'w', ms)),
    fc.constant(later('timed-out', 'w')),
    fc.constant(fault('refused', 'w')),
    fc.constant(fault('refused', 'w', 'content')),
  );
  fc.assert(
    fc.property(fc.array(answers, { maxLength: 40 }), fc.integer({ min: 1, max: 6 }), (script, size) => {
      let batch: readonly Delivery[] = Array.from({ length: size }, () => NEW_DELIVERY);
      for (const answer of script) {
        const before = batch;
        batch = judge(batch, answer, NOW_MS);
        expect(batch).toHaveLength(size);
        for (const [i, delivery] of batch.entries()) {
          expect(delivery.tries).toBeGreaterThan((before[i] as Delivery).tries);
          expect(delivery.state === 'sent').toBe(answer.outcome === 'taken');
          expect(delivery.dueMs).toBeLessThanOrEqual(NOW_MS + LONGEST_ASKED_WAIT_MS);
        }
        if (answer.outcome === 'taken') return;
      }
    }),
    { numRuns: 2000 },
  );
});

const waiting = (n: number, delivery: Partial<Delivery> = {}): Waiting => ({
  number: n,
  notice: notice(n),
  delivery: { ...NEW_DELIVERY, ...delivery },
});
const rows = (count: number): Waiting[] => Array.from({ length: count }, (_, n) => waiting(n));
const numbers = (batch: readonly Waiting[]): number[] => batch.map(({ number }) => number);

test('a few go one by one, many are folded, oldest first, and a stubborn one goes alone', () => {
  expect(nextBatch([], true)).toEqual([]);
  expect(numbers(nextBatch(rows(FOLD_ABOVE), true))).toEqual([0]);
  expect(numbers(nextBatch(rows(FOLD_ABOVE + 1), true))).toEqual([0, 1, 2, 3, 4, 5]);
  expect(nextBatch(rows(200), true)).toHaveLength(FOLD_MOST);
  expect(numbers(nextBatch(rows(200), false))).toEqual([0]);
  expect(numbers(nextBatch([waiting(0, { alone: true }), ...rows(9)], true))).toEqual([0]);
  const mixed = [...rows(7), waiting(7, { alone: true }), waiting(8)];
  expect(numbers(nextBatch(mixed, true))).toEqual([0, 1, 2, 3, 4, 5, 6]);
});

test('a wait holds all; an urgent notice breaks ours but not one that was asked for; a stepped clock ends it', () => {
  const hold = { untilMs: NOW_MS + 60_000, code: 'connection-refused' };
  expect(heldUntilMs(null, false, NOW_MS)).toBeNull();
  expect(heldUntilMs(hold, false, NOW_MS)).toBe(hold.untilMs);
  expect(heldUntilMs(hold, false, hold.untilMs)).toBeNull();
  expect(heldUntilMs(hold, true, NOW_MS)).toBeNull();
  expect(heldUntilMs({ ...hold, code: 'too-many' }, true, NOW_MS)).toBe(hold.untilMs);
  expect(heldUntilMs({ ...hold, untilMs: NOW_MS + 1e12 }, false, NOW_MS)).toBeNull();
});
