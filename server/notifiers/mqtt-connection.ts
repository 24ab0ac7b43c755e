/**
 * One connection to a broker. In a file of its own, read when first needed: the library costs megabytes, and most benches
 * have no broker.
 */
import { connect, type IClientOptions, type IClientPublishOptions, type MqttClient } from 'mqtt';

export interface ConnectionParts {
  readonly url: string;
  readonly clientId: string;
  readonly isFive: boolean;
  readonly login: { readonly username: string; readonly password: string } | null;
  readonly ca: { readonly ca?: string[] };
  /** What the broker says for us when we are cut off. */
  readonly will: { readonly topic: string; readonly payload: string };
  onLost(): void;
  /** Gives up a connection that is not made yet. */
  readonly signal: AbortSignal;
}

export interface Connection {
  /** At least once (QoS 1); fails as soon as the connection is lost. `expires`: taken off the broker when not renewed. */
  publish(topic: string, payload: string, more: { retain: boolean; expires: boolean }): Promise<void>;
  /** Says the last that is to be said and goes. */
  leave(): Promise<void>;
  drop(): void;
}

const KEEPALIVE_S = 60;
/** The broker's own patience for the first packet; the courier's is about the whole. */
const CONNECT_PATIENCE_MS = 30_000;
/** MQTT 5: a cut shorter than this is not announced as gone. */
const WILL_DELAY_S = 10;
/** MQTT 5: state that nobody renews is taken off the broker after this. */
const STATE_EXPIRY_S = 3600;
/** As the system says it of a connection that breaks off. */
const LOST = { code: 'ECONNRESET' };

/** Rejects with the broker's refusal or the network's error. */
export async function openConnection(parts: ConnectionParts): Promise<Connection> {
  const client = connect(parts.url, optionsFor(parts));
  try {
    await new Promise<void>((settle, fail) => {
      client.once('connect', () => settle());
      client.on('error', fail);
      client.on('close', () => {
        parts.onLost();
        fail(LOST);
      });
      parts.signal.addEventListener('abort', () => fail(LOST), { once: true });
    });
  } catch (error) {
    client.end(true);
    throw error;
  }
  return {
    publish: (topic, payload, { retain, expires }) =>
      orLost(client, () =>
        client.publishAsync(topic, payload, publishOptions(parts.isFive, retain, expires)),
      ),
    leave: () => client.endAsync(),
    drop: () => {
      client.end(true);
    },
  };
}

function optionsFor({ clientId, isFive, login, ca, will }: ConnectionParts): IClientOptions {
  return {
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
      topic: will.topic,
      payload: Buffer.from(will.payload),
      qos: 1,
      retain: true,
      ...(isFive ? { properties: { willDelayInterval: WILL_DELAY_S } } : {}),
    },
    ...(login ?? {}),
    ...ca,
  };
}

function publishOptions(isFive: boolean, retain: boolean, expires: boolean): IClientPublishOptions {
  if (!isFive) return { qos: 1, retain };
  return {
    qos: 1,
    retain,
    properties: {
      payloadFormatIndicator: true,
      contentType: 'application/json',
      ...(expires ? { messageExpiryInterval: STATE_EXPIRY_S } : {}),
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
