/** Real receivers on loopback: a web server (Node's), a mail server (smtp-server), an MQTT 3.1.1 broker (aedes). */
import { createServer, get, type IncomingHttpHeaders, type ServerResponse } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import { type AddressInfo, createServer as createNetServer, type Server, type Socket } from 'node:net';
import { createServer as createRawTlsServer } from 'node:tls';
import { Aedes, type AedesPublishPacket } from 'aedes';
import { connectAsync } from 'mqtt';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { onTestFinished } from 'vitest';
import { type Happened, happenings } from './events.ts';

const MARKER = 'that/is/all';

export interface Posted {
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

export type HttpScript = (posted: Posted, response: ServerResponse, nth: number) => void;
export const status =
  (code: number, headers: Record<string, string> = {}): HttpScript =>
  (_posted, response) => {
    response.writeHead(code, headers).end();
  };

const listening = (server: Server, port: number): Promise<number> =>
  new Promise((settle, fail) => {
    server.once('error', fail);
    server.listen(port, '127.0.0.1', () => settle((server.address() as AddressInfo).port));
  });

/** A server, with a way to cut its connections, and to end it at once. */
function closable(server: Server): { cutAll: () => void; close: () => Promise<void> } {
  const sockets = new Set<Socket>();
  const track = (socket: Socket): void => {
    sockets.add(socket);
    socket.on('error', () => {});
    socket.on('close', () => sockets.delete(socket));
  };
  server.on('connection', track);
  const cutAll = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  const close = (): Promise<void> =>
    new Promise((settle) => {
      cutAll();
      server.close(() => settle());
    });
  onTestFinished(close);
  return { cutAll, close };
}

export interface WebPeer {
  readonly url: string;
  readonly port: number;
  readonly posted: Happened<Posted>;
  answer(script: HttpScript): void;
  /** Asks the server something that is no post, and waits for the answer. */
  roundTrip(): Promise<void>;
  close(): Promise<void>;
}

export async function startWeb(
  script: HttpScript = status(204),
  { port = 0, tls }: { port?: number; tls?: { cert: string; key: string } } = {},
): Promise<WebPeer> {
  const posted = happenings<Posted>();
  let current = script;
  const listener: Parameters<typeof createServer>[1] & object = (request, response) => {
    if (request.method === 'GET') {
      response.end();
      return;
    }
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const one = { headers: request.headers, body: Buffer.concat(chunks).toString('utf8') };
      const nth = posted.all.length;
      posted.push(one);
      current(one, response, nth);
    });
  };
  const server = (tls ? createTlsServer(tls, listener) : createServer(listener)) as Server;
  const { close } = closable(server);
  const at = await listening(server, port);
  return {
    url: `${tls ? 'https' : 'http'}://127.0.0.1:${at}/in/path-that-is-a-password`,
    port: at,
    posted,
    answer(next) {
      current = next;
    },
    roundTrip: () =>
      new Promise((settle, fail) => {
        get({ host: '127.0.0.1', port: at, agent: false }, (response) => {
          response.resume().on('end', settle);
        }).on('error', fail);
      }),
    close,
  };
}

export interface Mailed {
  readonly from: string;
  readonly to: readonly string[];
  /** As it came over the wire. */
  readonly raw: string;
  readonly user: string | undefined;
}

export async function startMail(
  options: SMTPServerOptions = {},
  { port = 0 }: { port?: number } = {},
): Promise<{
  readonly port: number;
  readonly mailed: Happened<Mailed>;
  cutAll(): void;
  close(): Promise<void>;
}> {
  const mailed = happenings<Mailed>();
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: options.secure || options.cert ? [] : ['STARTTLS'],
    allowInsecureAuth: true,
    logger: false,
    onData(stream, session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        const { mailFrom, rcptTo } = session.envelope;
        mailed.push({
          from: mailFrom ? mailFrom.address : '',
          to: rcptTo.map(({ address }) => address),
          raw: Buffer.concat(chunks).toString('utf8'),
          user: typeof session.user === 'string' ? session.user : undefined,
        });
        done(null);
      });
    },
    ...options,
  });
  server.on('error', () => {});
  const { cutAll, close } = closable(server.server as unknown as Server);
  const at = await new Promise<number>((settle) => {
    server.listen(port, '127.0.0.1', () => settle((server.server.address() as AddressInfo).port));
  });
  return { port: at, mailed, cutAll, close };
}

export async function startBroker({
  port = 0,
  password,
  tls,
}: {
  port?: number;
  password?: string;
  tls?: { cert: string; key: string };
} = {}) {
  const published = happenings<{ topic: string; payload: string; retain: boolean; client: string }>();
  const broker = await Aedes.createBroker(
    password === undefined
      ? {}
      : {
          authenticate: (_client, _user, given, done) => {
            if (given?.toString() === password) done(null, true);
            // Return code 4 of MQTT 3.1.1: bad user name or password.
            else done(Object.assign(new Error('no'), { returnCode: 4 }), false);
          },
        },
  );
  broker.on('publish', ({ topic, payload, retain }: AedesPublishPacket, client) => {
    // The broker's own news of who comes and goes is not ours; its wills carry no client.
    if (!topic.startsWith('$SYS') && topic !== MARKER)
      published.push({ topic, payload: payload.toString(), retain, client: client?.id ?? '' });
  });
  const server = tls
    ? (createRawTlsServer(tls, broker.handle as (socket: Socket) => void) as Server)
    : createNetServer(broker.handle as (socket: Socket) => void);
  const { cutAll, close: closeServer } = closable(server);
  const at = await listening(server, port);
  const close = async (): Promise<void> => {
    await closeServer();
    await new Promise<void>((settle) => {
      broker.close(() => settle());
    });
  };
  return {
    port: at,
    url: `${tls ? 'mqtts' : 'mqtt'}://127.0.0.1:${at}`,
    published,
    cutAll,
    /** What a newcomer is given: at least so many topics, and whatever else comes before a message of its own. */
    async retained(least: number): Promise<Map<string, string>> {
      const kept = new Map<string, string>();
      const newcomer = await connectAsync(`${tls ? 'mqtts' : 'mqtt'}://127.0.0.1:${at}`, {
        rejectUnauthorized: false,
        ...(password === undefined ? {} : { username: 'newcomer', password }),
      });
      await new Promise<void>((settle) => {
        newcomer.on('message', (topic, payload) => {
          if (topic === MARKER) settle();
          else if (kept.set(topic, payload.toString()).size === least) newcomer.publish(MARKER, '');
        });
        newcomer.subscribe(['#']);
      });
      await newcomer.endAsync();
      return kept;
    },
    close,
  };
}
