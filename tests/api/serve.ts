/** What the api tests share: a server on a port of its own over an invented bench, and plain ways to ask it. */
import { request as httpRequest, type IncomingHttpHeaders } from 'node:http';
import { connect } from 'node:net';
import { onTestFinished } from 'vitest';
import WebSocket from 'ws';
import { type ServeParts, type Serving, serveBench } from '../../server/api/http.ts';
import type { Change, LiveMessage, Snapshot } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';

export const NOON_MS = Date.UTC(2026, 7, 22, 12, 0, 0);

/** A bench of one drying box, told of by hand. */
export function inventedBench() {
  const listeners = new Set<(change: Change) => void>();
  let sequence = 0;
  let temperatureC = 70;
  const station = (): Snapshot['stations'][number] => ({
    id: 'box',
    role: 'drybox',
    heardMs: NOON_MS,
    intervalMs: 2000,
    quiet: false,
    checked: true,
    calibratedOn: null,
    values: { t: temperatureC, rh: 4.81 },
    flagged: [],
    faults: { m: 'nack' },
    air: null,
    ceiling: null,
    counts: { 'fault.m.nack': 3 },
  });
  return {
    snapshot: (): Snapshot => ({
      type: 'snapshot',
      sequence,
      atMs: NOON_MS,
      speed: 1,
      simulated: null,
      version: '0.1.0-test',
      historyTrouble: null,
      stations: [station()],
      sources: [
        {
          id: 'usb',
          where: '/dev/ttyUSB0 at 115200 baud',
          state: 'open',
          trouble: null,
          sinceMs: NOON_MS,
          heardMs: NOON_MS,
          lines: 41,
          refused: { crc: 2, 'not-a-line': 1 },
          restarts: {},
          boards: [
            { board: 'box', boot: '3f2a', lines: 40, lost: 2, duplicates: 1, late: 0 },
            { board: 'box', boot: '77aa', lines: 1, lost: 3, duplicates: 0, late: 0 },
          ],
        },
      ],
      unknownStations: [],
      spools: [],
      chambers: [],
      jobs: [],
      alerts: [],
    }),
    subscribe(listener: (change: Change) => void) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    /** One more change; `padding` makes it as large as a flooded bench would. */
    tell(newTemperatureC: number, padding = 0): void {
      temperatureC = newTemperatureC;
      sequence++;
      const change: Change = {
        type: 'change',
        sequence,
        atMs: NOON_MS + sequence,
        stations: [
          { ...station(), values: { t: temperatureC, ...(padding ? { ['x'.repeat(padding)]: 0 } : {}) } },
        ],
      };
      for (const listener of listeners) listener(change);
    },
    listeners: () => listeners.size,
  };
}

const NO_HISTORY: ServeParts['history'] = {
  read: ({ station, fromMs, toMs }) => ({ station, fromMs, toMs, bucketMs: 1, series: {} }),
  pages: () => [],
};

export async function serve(more: Partial<ServeParts> = {}) {
  const clock = falseClock(NOON_MS);
  const bench = inventedBench();
  const logged: string[] = [];
  const serving = await serveBench({
    host: '127.0.0.1',
    port: 0,
    tls: null,
    token: null,
    webFolder: null,
    bench,
    history: NO_HISTORY,
    health: {
      historyFacts: () => ({
        engine: 'node:sqlite',
        series: 4,
        pending: 7,
        kept: 1000,
        repeated: 0,
        refused: 1,
        crowdedOut: 0,
        lost: 0,
      }),
    },
    clock,
    enter: null,
    log: {
      warn: (facts, message) => logged.push(JSON.stringify([facts, message])),
      error: (facts, message) => logged.push(JSON.stringify([facts, message])),
    },
    ...more,
  });
  onTestFinished(() => serving.close());
  return { serving, bench, clock, logged, ask: asker(serving) };
}

export interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
  /** Code of an ErrorAnswer. */
  readonly code: string | null;
}

interface Question {
  readonly method?: string;
  readonly headers?: Record<string, string>;
  readonly body?: string;
}

const codeIn = (body: string): string | null => {
  try {
    return (JSON.parse(body) as { error?: { code?: string } }).error?.code ?? null;
  } catch {
    return null;
  }
};

const asker =
  ({ port }: Serving) =>
  (path: string, { method = 'GET', headers = {}, body }: Question = {}): Promise<Answer> =>
    new Promise((resolve, reject) => {
      const request = httpRequest(
        { host: '127.0.0.1', port, path, method, headers, agent: false },
        (response) => {
          const chunks: Buffer[] = [];
          response.on('data', (chunk: Buffer) => chunks.push(chunk));
          response.on('error', reject);
          response.on('end', () => {
            const text = Buffer.concat(chunks).toString('utf8');
            resolve({
              status: response.statusCode ?? 0,
              headers: response.headers,
              body: text,
              code: codeIn(text),
            });
          });
        },
      );
      request.on('error', reject);
      request.end(body);
    });

/** Bytes as they stand on the wire, for what no HTTP library would send. Resolves with all that came back. */
export const askRaw = (port: number, text: string): Promise<string> =>
  new Promise((resolve, reject) => {
    let answer = '';
    const socket = connect(port, '127.0.0.1', () => socket.write(text));
    socket.setEncoding('latin1');
    socket.on('data', (chunk) => {
      answer += chunk;
    });
    socket.on('close', () => resolve(answer));
    socket.on('error', reject);
  });

export interface Listener {
  readonly socket: WebSocket;
  readonly messages: LiveMessage[];
  /** Resolves when so many have come. */
  has(count: number): Promise<void>;
  readonly closed: Promise<number>;
}

/** Opens the live socket; rejects with the status when it is refused. */
export const listen = (port: number, headers: Record<string, string> = {}): Promise<Listener> =>
  new Promise((resolve, reject) => {
    const socket = new WebSocket(`ws://127.0.0.1:${port}/api/live`, { headers });
    const messages: LiveMessage[] = [];
    let waiting: { count: number; done: () => void }[] = [];
    const closed = new Promise<number>((done) => {
      socket.on('close', (code) => done(code));
    });
    const listener: Listener = {
      socket,
      messages,
      closed,
      has: (count) =>
        new Promise((done) => {
          if (messages.length >= count) done();
          else waiting.push({ count, done });
        }),
    };
    socket.on('message', (data) => {
      messages.push(JSON.parse(String(data)) as LiveMessage);
      for (const one of waiting) if (messages.length >= one.count) one.done();
      waiting = waiting.filter((one) => messages.length < one.count);
      if (messages.length === 1) resolve(listener);
    });
    socket.on('unexpected-response', (_request, response) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.on('end', () =>
        reject(
          Object.assign(new Error(`refused with ${response.statusCode}`), {
            status: response.statusCode,
            code: codeIn(Buffer.concat(chunks).toString()),
          }),
        ),
      );
    });
    socket.on('error', reject);
    onTestFinished(() => socket.terminate());
  });
