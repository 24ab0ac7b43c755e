/**
 * What a receiver is sent next, decided purely. Notices go in the order in which they happened. A few that wait go one
 * by one, as they would have; after an outage they are folded into one message that lists them all with their ids, since
 * five hundred mails at dawn are read by nobody. Nothing is left out of a fold.
 */
import type { Notice } from '../records.ts';
import { type Delivery, LONGEST_ASKED_WAIT_MS } from './delivery.ts';

/** A notice that a receiver has not taken yet. */
export interface Waiting {
  readonly number: number;
  readonly notice: Notice;
  readonly delivery: Delivery;
}

/** What the receiver's last failure asks of all that wait for it. */
export interface Hold {
  readonly untilMs: number;
  readonly code: string | null;
}

/** More than this at once is no longer read one by one. */
export const FOLD_ABOVE = 5;
/** In one message; some 60 kB as JSON. The rest follows in the next. */
export const FOLD_MOST = 50;

/** The receiver itself said when to come again; that is honoured even when something is urgent. */
const ASKED: ReadonlySet<string | null> = new Set(['too-many']);

/**
 * Until when nothing is tried, or null. A new notice of high priority breaks a wait that is only ours. A time too far
 * ahead to be one of our waits comes from a clock that was stepped back meanwhile.
 */
export function heldUntilMs(hold: Hold | null, urgent: boolean, nowMs: number): number | null {
  if (!hold || hold.untilMs <= nowMs || hold.untilMs > nowMs + LONGEST_ASKED_WAIT_MS) return null;
  return urgent && !ASKED.has(hold.code) ? null : hold.untilMs;
}

/** The first of what waits, oldest first: one, or so many that they are folded. Empty where nothing waits. */
export function nextBatch(waiting: readonly Waiting[], folds: boolean): readonly Waiting[] {
  const [first] = waiting;
  if (!first) return [];
  if (!folds || first.delivery.alone) return [first];
  const end = waiting.findIndex(({ delivery }) => delivery.alone);
  const together = (end < 0 ? waiting : waiting.slice(0, end)).slice(0, FOLD_MOST);
  return together.length > FOLD_ABOVE ? together : [first];
}
