/**
 * Messages and live state to an MQTT broker. One connection is kept while there is something to say each minute; a lost
 * one is opened anew by the next thing to be said, never by a timer of the library's.
 */
import { randomBytes } from 'node:crypto';
import type { MqttReceiver } from '../config/receivers.ts';
import { type Answer, taken } from './answer.ts';
import { readAuthorities } from './authorities.ts';
import { brokerAnswer } from './mqtt-answer.ts';
import type { Connection } from './mqtt-connection.ts';
import { timedOut } from './network-trouble.ts';
import { type Environment, readSecret } from './secret.ts';
import { GONE, HERE, noticePublications, PRESENCE, type Publication } from './topics.ts';
import type { Way } from './way.ts';

export interface MqttWay extends Way {
  /** Publishes what the bench is like now; what was said before and not taken is out of date and let go. */
  publish(publications: readonly Publication[], signal: AbortSignal): Promise<Answer>;
}

/** For the farewell when lowdew stops. */
const FAREWELL_MS = 1000;

type Opening =
  | { readonly ok: true; readonly connection: Connection }
  | { readonly ok: false; readonly answer: Answer };

export function mqttWay(
  receiver: MqttReceiver,
  parts: { readonly env: Environment; after(ms: number, call: () => void): () => void },
): MqttWay {
  /** Two lowdews of one name would throw each other off the broker. */
  const clientId = `lowdew-${receiver.id}-${randomBytes(4).toString('hex')}`;
  const full = (topic: string): string => `${receiver.prefix}/${topic}`;
  let opening: Promise<Opening> | null = null;
  const closing = new AbortController();

  function opened(): Promise<Opening> {
    if (opening) return opening;
    const forget = (): void => {
      if (opening === mine) opening = null;
    };
    const mine: Promise<Opening> = open(forget).then(
      (result) => {
        if (!result.ok) forget();
        return result;
      },
      (error) => {
        forget();
        return { ok: false, answer: brokerAnswer(error) };
      },
    );
    opening = mine;
    return mine;
  }

  async function open(onLost: () => void): Promise<Opening> {
    const password = receiver.login && readSecret(receiver.login.password, 'password', parts.env);
    if (password && !password.ok) return password;
    const authorities = readAuthorities(receiver.caPath);
    if (!authorities.ok) return authorities;
    const { openConnection } = await import('./mqtt-connection.ts');
    const connection = await openConnection({
      url: receiver.url,
      clientId,
      isFive: receiver.protocol === '5',
      login: receiver.login && password ? { username: receiver.login.user, password: password.value } : null,
      ca: authorities.ca,
      will: { topic: full(PRESENCE), payload: GONE },
      onLost,
      signal: closing.signal,
    });
    await connection.publish(full(PRESENCE), HERE, { retain: true, expires: false });
    return { ok: true, connection };
  }

  function drop(): void {
    const old = opening;
    opening = null;
    void old?.then((result) => result.ok && result.connection.drop());
  }

  async function say(
    publications: readonly Publication[],
    expires: boolean,
    signal: AbortSignal,
  ): Promise<Answer> {
    try {
      return await orAborted(signal, async () => {
        const result = await opened();
        if (!result.ok) return result.answer;
        for (const { topic, payload, retain } of publications)
          await result.connection.publish(full(topic), payload, { retain, expires });
        return taken('The broker took it.');
      });
    } catch (error) {
      drop();
      return signal.aborted ? timedOut('the broker') : brokerAnswer(error);
    }
  }

  return {
    where: `${receiver.url} below ${receiver.prefix}/`,
    folds: false,
    deliver: (message, signal) => say(noticePublications(message), false, signal),
    publish: (publications, signal) => say(publications, true, signal),
    async close() {
      closing.abort();
      const result = await opening;
      if (!result?.ok) return;
      const { connection } = result;
      await new Promise<void>((settle) => {
        const cancel = parts.after(FAREWELL_MS, settle);
        // The will is for being cut off; who goes says so.
        connection
          .publish(full(PRESENCE), GONE, { retain: true, expires: false })
          .then(() => connection.leave())
          .catch(() => {})
          .finally(() => {
            cancel();
            settle();
          });
      });
      connection.drop();
    },
  };
}

/** Settles with the work, or fails as soon as the signal comes. */
function orAborted<T>(signal: AbortSignal, work: () => Promise<T>): Promise<T> {
  return new Promise((settle, fail) => {
    const stop = (): void => fail(new Error('aborted'));
    if (signal.aborted) {
      stop();
      return;
    }
    signal.addEventListener('abort', stop, { once: true });
    work()
      .then(settle, fail)
      .finally(() => signal.removeEventListener('abort', stop));
  });
}
