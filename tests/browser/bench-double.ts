/**
 * A stand-in for the server, for putting the page into states that a real bench reaches seldom: it serves the built
 * page under a strict policy and speaks the messages of the wire, with readings that a test invents.
 */
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';
import { type WebSocket, WebSocketServer } from 'ws';
import type { Change, Entry, HistoryAnswer, Snapshot } from '../../server/api/messages.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { isPlanKind } from '../../server/planner/read-question.ts';

const BUILT_PAGE = join(import.meta.dirname, '..', '..', 'dist', 'web');
const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
};
/** Nothing inline and nothing from elsewhere: the page has to live with this. */
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'";

/** The value of a series at a time; null while nothing was heard. */
export type History = (station: string, key: string, atMs: number) => number | null;

export interface BenchDouble {
  readonly url: string;
  /** What the next page that connects is told. */
  snapshot: Omit<Snapshot, 'type' | 'sequence'>;
  history: History;
  /** What else is asked for, by path; a refusal is an answer with a status of its own. */
  answers: Record<string, (url: URL) => { readonly status?: number; readonly body: unknown }>;
  /** Paths of the history questions asked so far. */
  readonly asked: URL[];
  /** What the planner was asked so far; it answers as the program does. */
  readonly planned: URL[];
  /** What was entered so far, refused or not. */
  readonly entered: Entry[];
  /** What was asked and done about alarms so far. */
  readonly acted: { readonly path: string; readonly body: unknown }[];
  /** How the next entries are refused; null: they are taken. */
  refusal: { readonly status: number; readonly body: unknown } | null;
  /** Sends a change to all pages, with the next sequence number or one that skips `skip` numbers. */
  send(parts: Omit<Change, 'type' | 'sequence'>, skip?: number): void;
  /** Ends all connections and refuses new ones, as a stopped server does. */
  leave(): Promise<void>;
  comeBack(): void;
  /** Pages connected now. */
  connected(): number;
  /** Resolves once a page has connected after this call. */
  nextConnection(): Promise<void>;
  close(): Promise<void>;
}

export async function startBenchDouble(start: {
  snapshot: Omit<Snapshot, 'type' | 'sequence'>;
  history: History;
}): Promise<BenchDouble> {
  let sequence = 0;
  let away = false;
  let waiting: (() => void)[] = [];
  const asked: URL[] = [];
  const planned: URL[] = [];
  const entered: Entry[] = [];
  const sockets = new WebSocketServer({ noServer: true });

  const server = createServer((request, response) => {
    const url = new URL(request.url ?? '/', 'http://double');
    if (away) {
      response.destroy();
      return;
    }
    if (url.pathname === '/api/history') {
      asked.push(url);
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(answerHistory(url.searchParams, double.history)));
      return;
    }
    if (url.pathname.startsWith('/api/alerts/')) {
      const answer = double.answers[url.pathname]?.(url).body ?? { alerts: [] };
      const end = (): void => {
        response.setHeader('content-type', 'application/json');
        response.end(JSON.stringify(answer));
      };
      if (request.method === 'GET') {
        double.acted.push({ path: `${url.pathname}${url.search}`, body: null });
        end();
        return;
      }
      let text = '';
      request.on('data', (part: Buffer) => {
        text += part.toString('utf8');
      });
      request.on('end', () => {
        double.acted.push({ path: url.pathname, body: JSON.parse(text) });
        end();
      });
      return;
    }
    const own = double.answers[url.pathname];
    if (own) {
      const { status = 200, body } = own(url);
      response.statusCode = status;
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(body));
      return;
    }
    if (url.pathname.startsWith('/api/plan')) {
      planned.push(url);
      const kind = url.pathname.slice('/api/plan/'.length);
      const outcome = isPlanKind(kind) ? PLANNER.answer(kind, Object.fromEntries(url.searchParams)) : null;
      response.statusCode = outcome?.ok === false ? 422 : 200;
      response.setHeader('content-type', 'application/json');
      response.end(
        JSON.stringify(
          outcome === null
            ? PLANNER.catalogue()
            : outcome.ok
              ? outcome.answer
              : { error: { code: 'bad-question', message: '', mistakes: outcome.mistakes } },
        ),
      );
      return;
    }
    if (url.pathname === '/api/entries' && request.method === 'POST') {
      let text = '';
      request.on('data', (part: Buffer) => {
        text += part.toString('utf8');
      });
      request.on('end', () => {
        entered.push(JSON.parse(text) as Entry);
        const { refusal } = double;
        response.statusCode = refusal?.status ?? 200;
        response.setHeader('content-type', 'application/json');
        response.end(JSON.stringify(refusal?.body ?? { spools: [] }));
      });
      return;
    }
    const name = extname(url.pathname) === '' ? 'index.html' : url.pathname.slice(1);
    response.setHeader('content-security-policy', POLICY);
    response.setHeader('content-type', TYPES[extname(name)] ?? 'application/octet-stream');
    if (name === 'favicon.ico') {
      response.statusCode = 204;
      response.end();
      return;
    }
    readFile(join(BUILT_PAGE, name)).then(
      (body) => response.end(body),
      () => {
        response.statusCode = 404;
        response.end(`${name} is not built: run npm run build`);
      },
    );
  });
  server.on('upgrade', (request, socket, head) => {
    if (away || request.url !== '/api/live') {
      socket.destroy();
      return;
    }
    sockets.handleUpgrade(request, socket, head, (page: WebSocket) => {
      page.send(JSON.stringify({ type: 'snapshot', sequence, ...double.snapshot }));
      const called = waiting;
      waiting = [];
      for (const call of called) call();
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));

  const double: BenchDouble = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    snapshot: start.snapshot,
    history: start.history,
    answers: {},
    asked,
    planned,
    entered,
    acted: [],
    refusal: null,
    send(parts, skip = 0) {
      sequence += 1 + skip;
      const { stations, sources, spools } = parts;
      double.snapshot = {
        ...double.snapshot,
        atMs: parts.atMs,
        stations: double.snapshot.stations.map(
          (one) => stations?.find((other) => other.id === one.id) ?? one,
        ),
        spools: double.snapshot.spools.map((one) => spools?.find((other) => other.id === one.id) ?? one),
        chambers: parts.chambers ?? double.snapshot.chambers,
        jobs: parts.jobs ?? double.snapshot.jobs,
        alerts: parts.alerts ?? double.snapshot.alerts,
        sources: double.snapshot.sources.map((one) => sources?.find((other) => other.id === one.id) ?? one),
      };
      const text = JSON.stringify({ type: 'change', sequence, ...parts });
      for (const page of sockets.clients) page.send(text);
    },
    async leave() {
      away = true;
      const gone = [...sockets.clients].map(
        (page) =>
          new Promise<void>((resolve) => {
            page.once('close', () => resolve());
            page.terminate();
          }),
      );
      await Promise.all(gone);
    },
    comeBack() {
      away = false;
    },
    connected: () => sockets.clients.size,
    nextConnection: () =>
      new Promise<void>((resolve) => {
        waiting.push(resolve);
      }),
    async close() {
      await double.leave();
      sockets.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
  return double;
}

/** Four looks into each bucket; a bucket in which nothing was heard is absent. */
function answerHistory(query: URLSearchParams, history: History): HistoryAnswer {
  const station = query.get('station') ?? '';
  const [fromMs, toMs] = [Number(query.get('fromMs')), Number(query.get('toMs'))];
  const bucketMs = Math.max(1000, (toMs - fromMs) / Number(query.get('buckets') ?? 500));
  const series: HistoryAnswer['series'] = {};
  for (const key of (query.get('keys') ?? '').split(',')) {
    const columns = { atMs: [] as number[], min: [] as number[], mean: [] as number[], max: [] as number[] };
    for (let at = fromMs; at < toMs; at += bucketMs) {
      const values = [0, 0.25, 0.5, 0.75]
        .map((share) => history(station, key, at + share * bucketMs))
        .filter((value) => value !== null);
      if (values.length === 0) continue;
      columns.atMs.push(at);
      columns.min.push(Math.min(...values));
      columns.mean.push(values.reduce((sum, value) => sum + value, 0) / values.length);
      columns.max.push(Math.max(...values));
    }
    if (columns.atMs.length > 0) series[key] = columns;
  }
  return { station, fromMs, toMs, bucketMs, series };
}
