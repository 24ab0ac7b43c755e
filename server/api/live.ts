/** The live socket: a snapshot on opening, then every change, written as text once for all clients. */
import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { type WebSocket, WebSocketServer } from 'ws';
import type { Clock } from '../clock.ts';
import type { Change } from './messages.ts';
import { createOutbox, type Outbox } from './outbox.ts';
import type { BenchView } from './views.ts';

export interface LiveFacts {
  readonly sockets: number;
  /** Of them, slower than the bench. */
  readonly behind: number;
  readonly bufferedBytes: number;
  /** Since the start. */
  readonly opened: number;
  readonly sent: number;
  readonly dropped: number;
}

export interface Live {
  isFull(): boolean;
  /** The request has passed the guard. */
  takeOver(request: IncomingMessage, socket: Duplex, head: Buffer): void;
  facts(): LiveFacts;
  close(): void;
}

/** A page holds one; a household with every device open stays far below. At 1 MB each no danger to the machine. */
export const MAX_SOCKETS = 100;
/** The page says nothing on the socket. */
const MAX_INCOMING_BYTES = 1024;
/** A client that has answered no ping for a whole round is gone, however alive its connection looks. */
export const PING_EVERY_MS = 15_000;
/** RFC 6455, 7.4.1: the endpoint is going away. */
const GOING_AWAY = 1001;

interface Client {
  readonly socket: WebSocket;
  readonly outbox: Outbox;
  answered: boolean;
}

export function createLive(view: BenchView, clock: Clock): Live {
  const server = new WebSocketServer({
    noServer: true,
    clientTracking: false,
    maxPayload: MAX_INCOMING_BYTES,
    // Each compressed socket would cost hundreds of kB.
    perMessageDeflate: false,
  });
  const clients = new Set<Client>();
  let opened = 0;
  let sent = 0;
  let dropped = 0;
  const nowMs = (): number => clock.now().monotonicMs;

  const drop = (client: Client): void => {
    dropped++;
    clients.delete(client);
    client.socket.terminate();
  };
  const send = (socket: WebSocket, message: Buffer): void => {
    sent++;
    socket.send(message, { binary: false });
  };
  const snapshot = (): Buffer => Buffer.from(JSON.stringify(view.snapshot()));

  const broadcast = (change: Change): void => {
    if (clients.size === 0) return;
    const message = Buffer.from(JSON.stringify(change));
    let fresh: Buffer | null = null;
    const freshOnce = (): Buffer => {
      fresh ??= snapshot();
      return fresh;
    };
    for (const client of clients) client.outbox.offer(message, freshOnce, nowMs());
  };

  const welcome = (socket: WebSocket): void => {
    const client: Client = {
      socket,
      answered: true,
      outbox: createOutbox({
        buffered: () => socket.bufferedAmount,
        send: (message) => send(socket, message),
        drop: () => drop(client),
      }),
    };
    opened++;
    clients.add(client);
    socket.on('pong', () => {
      client.answered = true;
    });
    // Nothing a page says is listened to; a page that says much at once runs into the cap on incoming messages.
    socket.on('error', () => socket.terminate());
    socket.on('close', () => clients.delete(client));
    // Known to broadcast by now, so that no change falls between this and the next.
    send(socket, snapshot());
  };

  const cancelChanges = view.subscribe(broadcast);
  const cancelPings = clock.every(PING_EVERY_MS, () => {
    for (const client of clients) {
      if (!client.answered) {
        drop(client);
        continue;
      }
      client.answered = false;
      client.socket.ping();
    }
  });

  return {
    isFull: () => clients.size >= MAX_SOCKETS,
    takeOver: (request, socket, head) => server.handleUpgrade(request, socket, head, welcome),
    facts: () => ({
      sockets: clients.size,
      behind: [...clients].filter(({ outbox }) => outbox.isBehind()).length,
      bufferedBytes: [...clients].reduce((sum, { socket }) => sum + socket.bufferedAmount, 0),
      opened,
      sent,
      dropped,
    }),
    close() {
      cancelChanges();
      cancelPings();
      for (const { socket } of clients) {
        socket.close(GOING_AWAY, 'lowdew is stopping');
        // Without waiting for the answer, which a stuck client never gives.
        socket.terminate();
      }
      clients.clear();
      server.close();
    },
  };
}
