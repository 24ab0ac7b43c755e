/** The live feed to fifty pages, against bare ws sending the same texts; and what a page that never reads costs. */

import { createServer } from 'node:http';
import { connect } from 'node:net';
import { WebSocket, WebSocketServer } from 'ws';
import { serveBench } from '../../server/api/http.ts';
import type { Change, Snapshot } from '../../server/api/messages.ts';
import { systemClock } from '../../server/clock.ts';
import { compare, type Measured } from './rounds.ts';

const PAGES = 50;
const MESSAGES = 200;

const snapshot: Snapshot = {
  type: 'snapshot',
  sequence: 0,
  atMs: 0,
  speed: 1,
  simulated: null,
  version: '0',
  historyTrouble: null,
  stations: [],
  sources: [],
  spools: [],
  chambers: [],
  jobs: [],
  alerts: [],
  unknownStations: [],
};
const change = (sequence: number): Change => ({
  type: 'change',
  sequence,
  atMs: sequence,
  points: Array.from({ length: 4 }, (_, i) => ({ station: 'box', key: `x_${i}`, atMs: sequence, value: i })),
});

async function pages(url: string): Promise<{ sockets: WebSocket[]; heard: () => number }> {
  let heard = 0;
  const sockets = await Promise.all(
    Array.from(
      { length: PAGES },
      () =>
        new Promise<WebSocket>((settle, fail) => {
          const socket = new WebSocket(url);
          socket.on('message', () => heard++);
          socket.once('open', () => settle(socket));
          socket.once('error', fail);
        }),
    ),
  );
  return { sockets, heard: () => heard };
}

const until = async (holds: () => boolean): Promise<void> => {
  const deadline = performance.now() + 30_000;
  while (!holds()) {
    if (performance.now() > deadline) throw new Error('the messages did not arrive');
    await new Promise((settle) => setImmediate(settle));
  }
};

export async function measureLive(): Promise<readonly Measured[]> {
  const listeners = new Set<(change: Change) => void>();
  const serving = await serveBench({
    host: '127.0.0.1',
    port: 0,
    tls: null,
    token: null,
    webFolder: null,
    bench: {
      snapshot: () => snapshot,
      subscribe(call) {
        listeners.add(call);
        return () => listeners.delete(call);
      },
    },
    history: { read: () => ({ station: '', fromMs: 0, toMs: 0, bucketMs: 1, series: {} }), pages: () => [] },
    health: {
      historyFacts: () => ({
        engine: null,
        series: 0,
        pending: 0,
        kept: 0,
        repeated: 0,
        refused: 0,
        crowdedOut: 0,
        lost: 0,
      }),
    },
    enter: null,
    clock: systemClock(),
    log: { warn: () => {}, error: () => {} },
  });
  const bareServer = createServer();
  const bare = new WebSocketServer({ server: bareServer, perMessageDeflate: false });
  await new Promise<void>((settle) => bareServer.listen(0, '127.0.0.1', settle));
  const address = bareServer.address();
  const ours = await pages(`ws://127.0.0.1:${serving.port}/api/live`);
  const theirs = await pages(`ws://127.0.0.1:${typeof address === 'object' ? address?.port : 0}`);
  let sequence = 0;
  // Each page begins with a snapshot.
  let expectedOurs = PAGES;
  await until(() => ours.heard() >= PAGES);
  let expectedTheirs = 0;
  const result = await compare(
    async () => {
      for (let i = 0; i < MESSAGES; i++) {
        const message = change(++sequence);
        for (const listener of listeners) listener(message);
        if (i % 20 === 19) await until(() => ours.heard() >= expectedOurs + (i + 1) * PAGES);
      }
      expectedOurs += MESSAGES * PAGES;
      return MESSAGES * PAGES;
    },
    async () => {
      for (let i = 0; i < MESSAGES; i++) {
        const text = JSON.stringify(change(i));
        for (const client of bare.clients) client.send(text);
        if (i % 20 === 19) await until(() => theirs.heard() >= expectedTheirs + (i + 1) * PAGES);
      }
      expectedTheirs += MESSAGES * PAGES;
      return MESSAGES * PAGES;
    },
    7,
  );
  for (const socket of [...ours.sockets, ...theirs.sockets]) socket.terminate();
  const stuckBytes = await stuckPage(serving.port, (message) => {
    for (const listener of listeners) listener(message);
  });
  await serving.close();
  bare.close();
  bareServer.close();
  return [
    {
      name: 'live messages to 50 pages',
      value: result.ours,
      unit: 'sends/s',
      yardstick: 'bare ws, same texts',
      ratio: result.ratio,
      aim: '≥ 0.7',
      met: result.ratio >= 0.7,
    },
    {
      name: 'memory for a page that never reads',
      value: stuckBytes / 1e6,
      unit: 'MB',
      yardstick: 'none',
      ratio: null,
      aim: '≤ 1 MB',
      met: stuckBytes <= 1e6,
    },
  ];
}

/** Heap and buffers that a page costs which opens the socket and then reads nothing, after 20 MB were to be sent. */
async function stuckPage(port: number, send: (message: Change) => void): Promise<number> {
  const socket = connect(port, '127.0.0.1');
  await new Promise<void>((settle) => socket.once('connect', settle));
  socket.pause();
  socket.write(
    'GET /api/live HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n',
  );
  await new Promise((settle) => setImmediate(settle));
  const held = (): number => {
    const { heapUsed, external, arrayBuffers } = process.memoryUsage();
    return heapUsed + external + arrayBuffers;
  };
  globalThis.gc?.();
  const before = held();
  for (let i = 0; i < 40_000; i++) {
    send(change(i));
    if (i % 1000 === 0) await new Promise((settle) => setImmediate(settle));
  }
  globalThis.gc?.();
  const after = held();
  socket.destroy();
  return Math.max(0, after - before);
}
