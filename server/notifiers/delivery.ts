/**
 * The life of one notice on its way to one receiver, decided purely:
 *
 *     waiting ──► sent
 *        │  ▲
 *        ▼  │ after a growing wait, or the one that the receiver asks for
 *      retry           it did not answer, or answered that it cannot now
 *
 *     waiting/retry ──► fault   it answered that it will not: a person must look. Kept, shown, and tried again each hour,
 *                               at a restart, and as soon as the receiver takes anything it had refused, or a test.
 *
 * Nothing is given up because of its age: a message that is late still says what happened.
 */
import type { Answer } from './answer.ts';

/** The last two end without being sent: too many waited, or the receiver is no longer in the bench file. */
export type DeliveryState = 'waiting' | 'retry' | 'fault' | 'sent' | 'crowded-out' | 'closed';

export interface Delivery {
  readonly state: DeliveryState;
  readonly tries: number;
  /** Not before this, for `retry` and `fault`; 0 for the others. */
  readonly dueMs: number;
  /** Refused in company: to be sent by itself, so that one unwanted message does not hold up the others. */
  readonly alone: boolean;
  /** When it was last tried, and what came of it. */
  readonly triedMs: number | null;
  /** A TroubleCode. */
  readonly code: string | null;
  readonly words: string | null;
}

export const NEW_DELIVERY: Delivery = {
  state: 'waiting',
  tries: 0,
  dueMs: 0,
  alone: false,
  triedMs: null,
  code: null,
  words: null,
};

/** A receiver that restarts is back in seconds; doubled each time after that. */
export const FIRST_WAIT_MS = 5000;
/** One that was down for days is told within a quarter of an hour of its return. */
export const LONGEST_WAIT_MS = 15 * 60_000;
/** Nobody mends an address within the minute; asking more often would be rude. */
export const FAULT_WAIT_MS = 3_600_000;
/** A receiver may ask to be left alone, but not so long that a night's alarms come the day after. */
export const LONGEST_ASKED_WAIT_MS = 6 * 3_600_000;

/** Wait after the `tries`th failure in a row. */
export const waitAfter = (tries: number): number =>
  Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(30, Math.max(0, tries - 1)));

/** What becomes of the deliveries that shared one attempt. */
export function judge(batch: readonly Delivery[], answer: Answer, nowMs: number): readonly Delivery[] {
  // They share the receiver's fate, so the longest waiting sets the pace for all.
  const tries = 1 + Math.max(0, ...batch.map((delivery) => delivery.tries));
  const after = { triedMs: nowMs, words: answer.words };
  switch (answer.outcome) {
    case 'taken':
      return batch.map((one) => ({
        ...one,
        ...after,
        state: 'sent',
        tries: one.tries + 1,
        dueMs: 0,
        code: null,
      }));
    case 'later': {
      const waitMs =
        answer.askedWaitMs === null
          ? waitAfter(tries)
          : Math.min(LONGEST_ASKED_WAIT_MS, Math.max(FIRST_WAIT_MS, answer.askedWaitMs));
      return batch.map((one) => ({
        ...one,
        ...after,
        state: 'retry',
        tries,
        dueMs: nowMs + waitMs,
        code: answer.code,
      }));
    }
    case 'fault': {
      const apart = answer.about === 'content' && batch.length > 1;
      return batch.map((one) => ({
        ...one,
        ...after,
        tries: one.tries + 1,
        code: answer.code,
        ...(apart
          ? { state: 'waiting', alone: true, dueMs: 0 }
          : { state: 'fault', dueMs: nowMs + FAULT_WAIT_MS }),
      }));
    }
  }
}
