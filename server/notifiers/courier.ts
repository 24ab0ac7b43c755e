/**
 * Carries what waits for one receiver, one attempt at a time, and waits between failures as `delivery.ts` decides. Each
 * receiver has a courier of its own, so that one which fails or dawdles holds up no other.
 */
import type { Cancel, Clock } from '../clock.ts';
import type { ReceiverConfig } from '../config/receivers.ts';
import type { Notice } from '../records.ts';
import { utcText } from '../utc.ts';
import { type Answer, later } from './answer.ts';
import type { Book } from './book.ts';
import { FAULT_WAIT_MS, judge } from './delivery.ts';
import { composeMessage, type Message } from './message.ts';
import { FOLD_MOST, heldUntilMs, nextBatch, type Waiting } from './plan.ts';
import type { Way } from './way.ts';

export interface CourierParts {
  readonly receiver: ReceiverConfig;
  readonly way: Way;
  readonly book: Book;
  /** Real time, whatever the bench's own time does. */
  readonly clock: Clock;
  /** The readings are invented: said in every message. */
  simulated(): boolean;
  /** Called when the receiver begins to fail, fails otherwise, or is well again. */
  onTurn(answer: Answer): void;
}

export interface Tried {
  readonly answer: Answer;
  readonly tookMs: number;
}

export interface Standing {
  /** `new`: nothing was sent yet. `retrying`: it may mend by itself. `fault`: wants a person. */
  readonly state: 'new' | 'well' | 'retrying' | 'fault';
  /** A TroubleCode. */
  readonly code: string | null;
  readonly words: string;
  readonly triedMs: number | null;
}

export interface Courier {
  /** Something may be waiting. */
  wake(): void;
  /** Sends a test now, past the queue. */
  test(): Promise<Tried>;
  /** An attempt made elsewhere (live state) says how the receiver stands, too. */
  note(answer: Answer): void;
  standing(): Standing;
  /** Ends an attempt that is under way; what it carried waits for the next start. */
  close(): Promise<void>;
}

/** Mail servers that are wary of strangers let them wait most of a minute. */
export const PATIENCE_MS = 60_000;

const STATE_OF = { taken: 'well', later: 'retrying', fault: 'fault' } as const;

export function createCourier(parts: CourierParts): Courier {
  const { receiver, way, book, clock } = parts;
  const wallMs = (): number => clock.now().wallMs;
  const underWay = new Set<AbortController>();
  let standing = standingFromLog(book.log(receiver.id, FOLD_MOST));
  let closed = false;
  let running: Promise<void> | null = null;
  let again = false;
  let cancelTimer: Cancel = () => {};
  let testing: Promise<Tried> | null = null;

  const note = (answer: Answer): void => {
    const before = standing;
    standing = {
      state: STATE_OF[answer.outcome],
      code: answer.outcome === 'taken' ? null : answer.code,
      words: answer.words,
      triedMs: wallMs(),
    };
    const turned = before.state !== standing.state || before.code !== standing.code;
    if (turned && !(before.state === 'new' && standing.state === 'well')) parts.onTurn(answer);
  };

  async function attempt(message: Message): Promise<Answer> {
    const controller = new AbortController();
    const cancel = clock.after(PATIENCE_MS, () => controller.abort());
    underWay.add(controller);
    try {
      return await way.deliver(message, controller.signal);
    } catch (error) {
      return later('failed', `It could not be told (${(error as Error).name}).`);
    } finally {
      cancel();
      underWay.delete(controller);
    }
  }

  /** The next batch, or until when there is none. */
  function look(): readonly Waiting[] | { readonly untilMs: number | null } {
    const nowMs = wallMs();
    const waiting = book.waiting(receiver.id, nowMs, FOLD_MOST);
    const nextFaultMs = book.nextFaultMs(receiver.id);
    if (waiting.length === 0) return { untilMs: nextFaultMs };
    const heldMs = heldUntilMs(book.hold(receiver.id), book.urgent(receiver.id), nowMs);
    if (heldMs === null) return nextBatch(waiting, way.folds);
    return { untilMs: heldMs };
  }

  async function carry(batch: readonly Waiting[]): Promise<void> {
    const notices = batch.map(({ notice }) => notice) as [Notice, ...Notice[]];
    const answer = await attempt(composeMessage(notices, parts.simulated() ? 'SIMULATED' : null));
    // Cut off by our own end: whether it arrived is not known, so it is told again after the start.
    if (closed && answer.outcome !== 'taken') return;
    const judged = judge(
      batch.map(({ delivery }) => delivery),
      answer,
      wallMs(),
    );
    book.judge(
      receiver.id,
      judged.map((delivery, i) => ({ number: (batch[i] as Waiting).number, delivery })),
    );
    note(answer);
    // It takes what it had refused: the person has mended it, so the rest need not wait for their hour.
    const mended = answer.outcome === 'taken' && batch.some(({ delivery }) => delivery.state === 'fault');
    if (mended) book.release(receiver.id, 'faults');
  }

  async function run(): Promise<void> {
    while (!closed) {
      again = false;
      const next = look();
      if (!('untilMs' in next)) await carry(next);
      else {
        if (next.untilMs === null) return;
        const waitMs = Math.min(FAULT_WAIT_MS, Math.max(1, next.untilMs - wallMs()));
        cancelTimer = clock.after(waitMs, wake);
        return;
      }
    }
  }

  function wake(): void {
    if (closed) return;
    again = true;
    if (running) return;
    cancelTimer();
    running = run().finally(() => {
      running = null;
      // Woken in the instant between the last look and here.
      if (again && !closed) wake();
    });
  }

  async function tryTest(): Promise<Tried> {
    const startedMs = clock.now().monotonicMs;
    const answer = await attempt(composeMessage([testNotice(receiver, wallMs())], 'TEST'));
    note(answer);
    if (answer.outcome === 'taken') {
      book.release(receiver.id, 'all');
      wake();
    }
    return { answer, tookMs: clock.now().monotonicMs - startedMs };
  }

  return {
    wake,
    note,
    standing: () => standing,
    test() {
      // Pressed twice, it is sent once.
      testing ??= tryTest().finally(() => {
        testing = null;
      });
      return testing;
    },
    async close() {
      closed = true;
      cancelTimer();
      for (const controller of underWay) controller.abort();
      await Promise.all([running, testing]);
      await way.close();
    },
  };
}

export function testNotice({ id, leastPriority, kinds }: ReceiverConfig, nowMs: number): Notice {
  const which =
    kinds.length === 0
      ? 'no notices'
      : kinds.map((kind) => (kind === 'alarm' ? 'alarms' : kind)).join(' and ');
  const from =
    leastPriority === 'low'
      ? ''
      : ` of priority ${leastPriority}${leastPriority === 'high' ? '' : ' or above'}`;
  return {
    id: `test:${id}:${nowMs}`,
    at: utcText(nowMs),
    rule: 'test',
    kind: 'news',
    priority: 'low',
    station: null,
    reason: 'first',
    headline: 'A test message from lowdew',
    text: `If you can read this, receiver "${id}" works. It is told ${which}${from}.`,
    advice: 'Nothing needs to be done.',
    number: null,
  };
}

function standingFromLog(log: readonly Waiting[]): Standing {
  let last: Waiting | null = null;
  for (const row of log) if ((row.delivery.triedMs ?? -1) > (last?.delivery.triedMs ?? -1)) last = row;
  if (!last) return { state: 'new', code: null, words: 'Nothing was sent yet.', triedMs: null };
  const { state, code, words, triedMs } = last.delivery;
  return {
    state: state === 'sent' ? 'well' : state === 'fault' ? 'fault' : 'retrying',
    code,
    words: words ?? '',
    triedMs,
  };
}
