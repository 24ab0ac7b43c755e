/** All receivers of a bench: who gets which notice, a courier for each, and the bench's live state for brokers. */
import type { Clock } from '../clock.ts';
import type { ReceiverConfig } from '../config/receivers.ts';
import { type Notice, PRIORITIES } from '../records.ts';
import type { Answer } from './answer.ts';
import { type Counts, createBook, type DiskBook } from './book.ts';
import { type Courier, createCourier, PATIENCE_MS, type Standing, type Tried } from './courier.ts';
import type { Delivery } from './delivery.ts';
import { clearLeftBehind, type TopicBook } from './left-behind.ts';
import { mailWay } from './mail.ts';
import { type MqttWay, mqttWay } from './mqtt.ts';
import type { Environment } from './secret.ts';
import type { Publication } from './topics.ts';
import type { Way } from './way.ts';
import { webhookWay } from './webhook.ts';

export interface NotifierParts {
  readonly receivers: readonly ReceiverConfig[];
  /** Real time. */
  readonly clock: Clock;
  readonly env: Environment;
  readonly version: string;
  readonly book: DiskBook;
  /** Topics that brokers were given; kept over restarts. */
  readonly topics: TopicBook;
  simulated(): boolean;
  /** A receiver begins to fail, fails otherwise, or is well again; once a turn. */
  onTurn(receiver: string, answer: Answer): void;
  /** The store will not have it; called for each failure, so the receiver of this thins them out. */
  onStoreTrouble(error: unknown): void;
}

export interface ReceiverState {
  readonly id: string;
  readonly kind: ReceiverConfig['kind'];
  readonly where: string;
  readonly standing: Standing;
  readonly counts: Counts;
  /** Newest first. */
  readonly log: readonly LogLine[];
}

export interface LogLine {
  readonly noticeId: string;
  readonly at: string;
  readonly headline: string;
  readonly state: Delivery['state'];
  readonly tries: number;
  readonly triedMs: number | null;
  readonly code: string | null;
  readonly words: string | null;
}

export interface Notifiers {
  /** Records each notice with its receivers before anything is sent, then sends. Never throws, never waits. */
  tell(notices: readonly Notice[]): void;
  /**
   * What the bench is like now, for every broker that wants it; one at a time, a late one is left out. Topics given
   * before whose station or spool is not on the bench any more are taken off.
   */
  publish(publications: readonly Publication[], isHere: (topic: string) => boolean): void;
  wantsState(): boolean;
  states(logLines: number): readonly ReceiverState[];
  /** Null: there is no such receiver. */
  test(receiver: string): Promise<Tried> | null;
  close(): Promise<void>;
}

/** Whether a receiver is told of a notice. */
export const isFor = (
  { leastPriority, kinds }: Pick<ReceiverConfig, 'leastPriority' | 'kinds'>,
  { kind, priority }: Pick<Notice, 'kind' | 'priority'>,
): boolean => kinds.includes(kind) && PRIORITIES.indexOf(priority) <= PRIORITIES.indexOf(leastPriority);

type WayParts = Pick<NotifierParts, 'clock' | 'env' | 'version'>;

export function wayTo(receiver: ReceiverConfig, { clock, env, version }: WayParts): Way | MqttWay {
  switch (receiver.kind) {
    case 'webhook':
      return webhookWay(receiver, { clock, env, version });
    case 'email':
      return mailWay(receiver, { env });
    case 'mqtt':
      return mqttWay(receiver, { env, after: clock.after });
  }
}

interface Told {
  readonly receiver: ReceiverConfig;
  readonly way: Way | MqttWay;
  readonly courier: Courier;
  publishing: boolean;
}

export function startNotifiers(parts: NotifierParts): Notifiers {
  const book = createBook(parts.book, parts.onStoreTrouble);
  const told: readonly Told[] = parts.receivers.map((receiver) => {
    const way = wayTo(receiver, parts);
    // A start is a person's doing, often after mending what was wrong.
    book.release(receiver.id, 'faults');
    const courier = createCourier({
      receiver,
      way,
      book,
      clock: parts.clock,
      simulated: parts.simulated,
      onTurn: (answer) => parts.onTurn(receiver.id, answer),
    });
    courier.wake();
    return { receiver, way, courier, publishing: false };
  });
  const brokers = told.filter(({ receiver }) => receiver.kind === 'mqtt' && receiver.live);

  /** A store that will not have it costs the clearing, not the state. */
  function stored<T>(work: () => T): T | null {
    try {
      return work();
    } catch (error) {
      parts.onStoreTrouble(error);
      return null;
    }
  }

  async function publishTo(
    one: Told,
    publications: readonly Publication[],
    isHere: (topic: string) => boolean,
  ): Promise<void> {
    if (one.publishing || !('publish' in one.way)) return;
    const { id } = one.receiver;
    const known = stored(() => parts.topics.read(id));
    const { before, clears, after } = clearLeftBehind(known, one.way.where, publications, isHere);
    if (before) stored(() => parts.topics.write(id, before));
    one.publishing = true;
    const controller = new AbortController();
    const cancel = parts.clock.after(PATIENCE_MS, () => controller.abort());
    try {
      const answer = await one.way.publish([...clears, ...publications], controller.signal);
      if (after && answer.outcome === 'taken') stored(() => parts.topics.write(id, after));
      one.courier.note(answer);
    } finally {
      cancel();
      one.publishing = false;
    }
  }

  return {
    tell(notices) {
      const addressed = notices
        .map((notice) => ({
          notice,
          receivers: parts.receivers.filter((receiver) => isFor(receiver, notice)).map(({ id }) => id),
        }))
        .filter(({ receivers }) => receivers.length > 0);
      if (addressed.length === 0) return;
      book.record(addressed);
      for (const { courier } of told) courier.wake();
    },
    publish(publications, isHere) {
      for (const one of brokers) void publishTo(one, publications, isHere);
    },
    wantsState: () => brokers.length > 0,
    states: (logLines) =>
      told.map(({ receiver: { id, kind }, way, courier }) => ({
        id,
        kind,
        where: way.where,
        standing: courier.standing(),
        counts: book.counts(id),
        log: book.log(id, logLines).map(({ notice, delivery }) => ({
          noticeId: notice.id,
          at: notice.at,
          headline: notice.headline,
          ...delivery,
        })),
      })),
    test: (id) => told.find(({ receiver }) => receiver.id === id)?.courier.test() ?? null,
    async close() {
      await Promise.all(told.map(({ courier }) => courier.close()));
    },
  };
}
