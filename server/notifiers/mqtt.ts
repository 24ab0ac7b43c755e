/**
 * Messages and live state to an MQTT broker, at least once (QoS 1). One connection is kept while there is something to
 * say each minute; a lost one is opened anew by the next thing to be said, never by a timer of the library's.
 */
import { randomBytes } from 'node:crypto';
import type { IClientOptions, IClientPublishOptions, MqttClient } from 'mqtt';
import type { MqttReceiver } from '../config/receivers.ts';
import { type Answer, taken } from './answer.ts';
import { readAuthorities } from './authorities.ts';
import { brokerAnswer } from './mqtt-answer.ts';
import { timedOut } from './network-trouble.ts';
import { type Environment, readSecret } from './secret.ts';
import { GONE, HERE, noticePublications, PRESENCE, type Publication } from './topics.ts';
import type { Way } from './way.ts';

export interface MqttWay extends Way {
  /** Publishes what the bench is like now; what was said before and not taken is out of date and let go. */
  publish(publications: readonly Publication[], signal: AbortSignal): Promise<Answer>;
}

const KEEPALIVE_S = 60;
/** The broker's own patience for the first packet; the courier's is about the whole. */
const CONNECT_PATIENCE_MS = 30_000;
/** MQTT 5: a cut shorter than this is not announced as gone. */
const WILL_DELAY_S = 10;
/** MQTT 5: state that nobody renews is taken off the broker after this. */
const STATE_EXPIRY_S = 3600;
/** For the farewell when lowdew stops. */
const FAREWELL_MS = 1000;
/** As the system says it of a connection that breaks off. */
const LOST = { code: 'ECONNRESET' };

type Opening =
  | { readonly ok: true; readonly client: MqttClient }
  | { readonly ok: false; readonly answer: Answer };

export function mqttWay(
  receiver: MqttReceiver,
  parts: { readonly env: Environment; after(ms: number, call: () => void): () => void },
): MqttWay {
  const isFive = receiver.protocol === '5';
  const clientId = `lowdew-${receiver.id}-${randomBytes(4).toString('hex')}`;
  const full = (topic: string): string => `${receiver.prefix}/${topic}`;
  let opening: Promise<Opening> | null = null;

  const options = (
    login: { username: string; password: string } | null,
    ca: { ca?: string[] },
  ): IClientOptions => ({
    clientId,
    protocolVersion: isFive ? 5 : 4,
    clean: true,
    keepalive: KEEPALIVE_S,
    connectTimeout: CONNECT_PATIENCE_MS,
    // Waits between tries are the courier's, so that they can be told, grow and end.
    reconnectPeriod: 0,
    reconnectOnConnackError: false,
    queueQoSZero: false,
    resubscribe: false,
    will: {
      topic: full(PRESENCE),
      payload: Buffer.from(GONE),
      qos: 1,
      retain: true,
      ...(isFive ? { properties: { willDelayInterval: WILL_DELAY_S } } : {}),
    },
    ...(login ?? {}),
    ...ca,
  });

  const publishOptions = ({ retain }: Publication, expires: boolean): IClientPublishOptions => ({
    qos: 1,
    retain,
    ...(isFive
      ? {
          properties: {
            payloadFormatIndicator: true,
            contentType: 'application/json',
            ...(expires ? { messageExpiryInterval: STATE_EXPIRY_S } : {}),
          },
        }
      : {}),
  });

  function connection(): Promise<Opening> {
    if (opening) return opening;
    const mine = open(() => {
      if (opening === mine) opening = null;
    });
    opening = mine;
    return mine;
  }

  async function open(onLost: () => void): Promise<Opening> {
    const password = receiver.login && readSecret(receiver.login.password, 'password', parts.env);
    if (password && !password.ok) return password;
    const authorities = readAuthorities(receiver.caPath);
    if (!authorities.ok) return authorities;
    // Loaded when first needed: it costs megabytes, and most benches have no broker.
    const { connect } = await import('mqtt');
    const login =
      receiver.login && password ? { username: receiver.login.user, password: password.value } : null;
    const client = connect(receiver.url, options(login, authorities.ca));
    const opened = await new Promise<Opening>((settle) => {
      client.once('connect', () => settle({ ok: true, client }));
      client.on('error', (error) => settle({ ok: false, answer: brokerAnswer(error) }));
      client.on('close', () => {
        onLost();
        settle({ ok: false, answer: brokerAnswer(LOST) });
      });
    });
    if (!opened.ok) client.end(true);
    else await orLost(client, () => client.publishAsync(full(PRESENCE), HERE, { qos: 1, retain: true }));
    return opened;
  }

  function drop(): void {
    const old = opening;
    opening = null;
    void old?.then(
      (opened) => opened.ok && opened.client.end(true),
      () => {},
    );
  }

  async function say(
    publications: readonly Publication[],
    expires: boolean,
    signal: AbortSignal,
  ): Promise<Answer> {
    try {
      return await orAborted(signal, async () => {
        const opened = await connection();
        if (!opened.ok) {
          opening = null;
          return opened.answer;
        }
        const { client } = opened;
        await orLost(client, async () => {
          for (const one of publications)
            await client.publishAsync(full(one.topic), one.payload, publishOptions(one, expires));
        });
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
      const opened = await opening?.catch(() => null);
      opening = null;
      if (!opened?.ok) return;
      const { client } = opened;
      await new Promise<void>((settle) => {
        const cancel = parts.after(FAREWELL_MS, settle);
        // A will is for being cut off; who goes says so.
        client
          .publishAsync(full(PRESENCE), GONE, { qos: 1, retain: true })
          .then(() => client.endAsync())
          .catch(() => {})
          .finally(() => {
            cancel();
            settle();
          });
      });
      client.end(true);
    },
  };
}

/** Settles with the work, or fails when the connection is lost: what the library then still waits for never comes. */
function orLost(client: MqttClient, work: () => Promise<unknown>): Promise<void> {
  return new Promise((settle, fail) => {
    const lost = (): void => fail(LOST);
    client.once('close', lost);
    work()
      .then(() => settle(), fail)
      .finally(() => client.off('close', lost));
  });
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
