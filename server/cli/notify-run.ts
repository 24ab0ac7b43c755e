/** Joins the notifiers to state, log, page and clock of a running bench. */
import type { Logger } from 'pino';
import type { Snapshot } from '../api/messages.ts';
import type { ReceiverState } from '../api/messages-receivers.ts';
import type { ReceiversView } from '../api/routes-receivers.ts';
import type { Clock } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import type { KnownTopics, TopicBook } from '../notifiers/left-behind.ts';
import { type Notifiers, startNotifiers } from '../notifiers/notifiers.ts';
import type { Environment } from '../notifiers/secret.ts';
import type { State } from '../storage/state.ts';
import { VERSION } from '../version.ts';
import { isOnBench, liveState } from './live-state.ts';
import type { createThinner } from './log.ts';

export interface NotifyRunParts {
  readonly receivers: BenchConfig['receivers'];
  readonly state: Pick<State, 'notices' | 'together' | 'get' | 'put'>;
  /** Real time. */
  readonly clock: Clock;
  readonly env: Environment;
  readonly log: Pick<Logger, 'info' | 'warn' | 'error'>;
  readonly thin: ReturnType<typeof createThinner>;
  snapshot(): Snapshot;
}

export interface NotifyRun extends ReceiversView, Pick<Notifiers, 'tell' | 'close'> {
  /** Receivers that cannot be told now, one sentence each. */
  troubles(): readonly string[];
}

const TOPICS_KIND = 'mqtt-topics';

/** What lies there is of this program's own making, or of an older one's: then it is begun anew. */
export const topicBook = (state: Pick<State, 'get' | 'put'>): TopicBook => ({
  read(receiver) {
    const kept = state.get(TOPICS_KIND, receiver) as Partial<KnownTopics> | null | undefined;
    return kept && typeof kept.where === 'string' && Array.isArray(kept.topics)
      ? { where: kept.where, topics: kept.topics }
      : null;
  },
  write: (receiver, { where, topics }) => state.put(TOPICS_KIND, receiver, { where, topics: [...topics] }),
});

const PUBLISH_EVERY_MS = 60_000;
/** The first state after a start; by then the boards have spoken. */
const PUBLISH_FIRST_MS = 5000;
const LOG_LINES = 50;

export function startNotifyRun(parts: NotifyRunParts): NotifyRun {
  const { receivers, state, clock, log } = parts;
  const storeTrouble = (error: unknown): void => {
    const { name, message } = error as Error;
    if (parts.thin(`notices ${name} ${(error as { code?: unknown }).code}`).tell)
      log.error(`Notices are sent but cannot be written down: ${message}.`);
  };
  try {
    const closed = state.notices.closeAllBut(receivers.map(({ id }) => id));
    if (closed > 0)
      log.warn(
        { closed },
        'Notices waited for receivers that are no longer in the bench file; they are not sent.',
      );
  } catch (error) {
    storeTrouble(error);
  }
  const notifiers = startNotifiers({
    receivers,
    clock,
    env: parts.env,
    version: VERSION,
    book: {
      ...state.notices,
      record: (notices) => {
        state.together(() => state.notices.record(notices));
      },
    },
    topics: topicBook(state),
    simulated: () => parts.snapshot().simulated !== null,
    onTurn(receiver, answer) {
      if (answer.outcome === 'taken') log.info({ receiver }, 'Notices are taken again.');
      else log.warn({ receiver, code: answer.code }, `Notices to receiver "${receiver}": ${answer.words}`);
    },
    onStoreTrouble: storeTrouble,
  });
  const publish = (): void => {
    const snapshot = parts.snapshot();
    notifiers.publish(liveState(snapshot), isOnBench(snapshot));
  };
  const cancels = notifiers.wantsState()
    ? [clock.after(PUBLISH_FIRST_MS, publish), clock.every(PUBLISH_EVERY_MS, publish)]
    : [];

  return {
    tell: notifiers.tell,
    troubles: () =>
      notifiers
        .states(0)
        .filter(({ standing }) => standing.state === 'retrying' || standing.state === 'fault')
        .map(({ id, standing }) => `Receiver ${id}: ${standing.words}`),
    receivers: () =>
      notifiers.states(LOG_LINES).map(({ id, kind, where, standing, counts, log: lines }): ReceiverState => {
        const { leastPriority = 'low', kinds = [] } = receivers.find((receiver) => receiver.id === id) ?? {};
        return {
          id,
          kind,
          where,
          leastPriority,
          kinds: [...kinds],
          ...standing,
          lastSentMs: counts.lastSentMs,
          waiting: counts.waiting,
          faults: counts.faults,
          crowdedOut: counts.crowdedOut,
          log: lines.map(({ noticeId, at, headline, state, tries, triedMs, code, words }) => ({
            noticeId,
            at,
            headline,
            state,
            tries,
            triedMs,
            code,
            words,
          })),
        };
      }),
    test: (id) =>
      notifiers.test(id)?.then(({ answer, tookMs }) => ({
        ok: answer.outcome === 'taken',
        code: answer.outcome === 'taken' ? null : answer.code,
        words: answer.words,
        tookMs,
      })) ?? null,
    async close() {
      for (const cancel of cancels) cancel();
      await notifiers.close();
    },
  };
}
