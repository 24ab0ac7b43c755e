/** Puts the server together: one listener, one guard before everything, routes, live socket, page. */
import { createServer, type IncomingMessage, type Server } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import { hostname } from 'node:os';
import type { Duplex } from 'node:stream';
import { type TypeBoxTypeProvider, TypeBoxValidatorCompiler } from '@fastify/type-provider-typebox';
import fastify, { type FastifyReply } from 'fastify';
import type { Clock } from '../clock.ts';
import { isLoopback } from '../config/loopback.ts';
import type { ApiApp } from './app.ts';
import { registerEnter } from './enter.ts';
import { answerFor, rawAnswer } from './error-answers.ts';
import { listenError, RequestRefused, ServeError } from './errors.ts';
import { createGuard, type Guard } from './guard.ts';
import { SECURITY_HEADERS } from './headers.ts';
import { createLive, type Live, type LiveFacts } from './live.ts';
import { type DescribedRoute, type DescribedWebhook, describedRoutes, openApiDocument } from './openapi.ts';
import { registerPages } from './pages.ts';
import { createRateLimit } from './rate.ts';
import { registerBench } from './routes-bench.ts';
import { type EntryTaker, registerEntries } from './routes-entries.ts';
import { registerHealth } from './routes-health.ts';
import { registerHistory } from './routes-history.ts';
import { type Planner, registerPlans } from './routes-plan.ts';
import { createGate } from './token.ts';
import type { ApiLog, BenchView, HealthView, HistoryReader } from './views.ts';

export interface ServeParts {
  readonly host: string;
  /** 0: the system chooses. */
  readonly port: number;
  /** PEM. Null: plain HTTP. */
  readonly tls: { readonly cert: string; readonly key: string } | null;
  /** Needed where the host is not loopback; ignored where it is. */
  readonly token: string | null;
  /** Names beside its addresses by which a proxy or a name server reaches this server. */
  readonly hostNames?: readonly string[];
  /** The built page; null serves the interface alone. */
  readonly webFolder: string | null;
  readonly bench: BenchView;
  readonly history: HistoryReader;
  readonly health: HealthView;
  /** Real time: pings, rates and patience are about people and networks, whatever the bench's own time does. */
  readonly clock: Clock;
  readonly log: ApiLog;
  /** Null: nothing can be entered here. */
  readonly enter: EntryTaker | null;
  /** Null: no what-if is answered here. */
  readonly planner?: Planner | null;
  /** Further routes; they stand behind the same guard and in the same document. */
  readonly routes?: (app: ApiApp) => void;
  /** What is sent elsewhere, for the same document. */
  readonly webhooks?: Readonly<Record<string, DescribedWebhook>>;
}

export interface Serving {
  /** As a person types it. */
  readonly url: string;
  readonly port: number;
  liveFacts(): LiveFacts;
  close(): Promise<void>;
}

/** No command of ours is larger; a run report is asked for, not sent. */
export const MAX_BODY_BYTES = 64 * 1024;
const MAX_HEADER_BYTES = 8 * 1024;
/** Sockets, pages of a household, a collector of metrics. */
const MAX_CONNECTIONS = 256;
/** A request that takes longer to arrive is no request. */
const REQUEST_TIMEOUT_MS = 10_000;
/** A page asks for some ten things at once when it opens, and for one or two a second at most after that. */
export const RATE = { perSecond: 30, burst: 300 };
const ENTER_RATE = { perSecond: 1 / 10, burst: 10 };

/** Throws ServeError, each with the remedy in its message. */
export async function serveBench(parts: ServeParts): Promise<Serving> {
  const { host, clock, log } = parts;
  const loopback = isLoopback(host);
  if (!loopback && parts.token === null)
    throw new ServeError('token-needed', `Listening on ${host}, beyond this machine, needs a token.`);
  const nowMs = (): number => clock.now().monotonicMs;
  const gate = loopback || parts.token === null ? null : createGate(parts.token);
  const guard = createGuard({
    own: { loopback, names: ownNames(host, loopback, parts.hostNames ?? []) },
    gate,
    rate: createRateLimit(RATE),
    nowMs,
  });
  const app = createApp(parts, guard);
  const live = createLive(parts.bench, clock);
  const described: DescribedRoute[] = [];
  app.addHook('onRoute', (route) => {
    described.push(...describedRoutes(route));
  });

  registerBench(app, parts.bench);
  registerHistory(app, parts.history);
  registerHealth(app, { bench: parts.bench, health: parts.health, clock, liveFacts: live.facts });
  app.get('/api/openapi.json', { schema: { summary: 'This document' } }, () =>
    openApiDocument(described, parts.bench.snapshot().version, parts.webhooks),
  );
  if (parts.enter) registerEntries(app, parts.enter);
  if (parts.planner) registerPlans(app, parts.planner);
  parts.routes?.(app);
  if (gate)
    await registerEnter(app, {
      gate,
      overTls: parts.tls !== null,
      attempts: createRateLimit(ENTER_RATE),
      nowMs,
    });
  if (parts.webFolder !== null) await registerPages(app, parts.webFolder);

  app.server.on('upgrade', (request, socket, head) => upgrade(request, socket, head, guard, live));
  try {
    await app.listen({ host, port: parts.port });
  } catch (error) {
    live.close();
    await app.close();
    throw listenError(error, host, parts.port);
  }
  const address = app.server.address();
  const port = typeof address === 'object' && address ? address.port : parts.port;
  app.server.on('error', (error) => log.error({ error: error.message }, 'the server failed'));
  return {
    url: `${parts.tls ? 'https' : 'http'}://${shownHost(host)}:${port}`,
    port,
    liveFacts: live.facts,
    async close() {
      live.close();
      await app.close();
    },
  };
}

function createApp({ tls, log, webFolder }: ServeParts, guard: Guard): ApiApp {
  const options = { maxHeaderSize: MAX_HEADER_BYTES, requestTimeout: REQUEST_TIMEOUT_MS };
  const app = fastify({
    serverFactory: (handler) => {
      const server = tls ? secureServer({ ...options, ...tls }, handler) : createServer(options, handler);
      server.maxConnections = MAX_CONNECTIONS;
      return server;
    },
    bodyLimit: MAX_BODY_BYTES,
    forceCloseConnections: true,
    clientErrorHandler: (error, socket) => {
      if (socket.writable) socket.end(rawAnswer(clientRefusal(error)));
    },
    frameworkErrors: (error, _request, reply: FastifyReply) => {
      const { status, answer } = answerFor(error);
      void reply.headers(SECURITY_HEADERS).code(status).send(answer);
    },
  }).withTypeProvider<TypeBoxTypeProvider>();
  app.setValidatorCompiler(TypeBoxValidatorCompiler);
  // Answers are typed and tested against their schemas; writing them by schema would drop fields silently.
  app.setSerializerCompiler(() => (data) => JSON.stringify(data));
  // Plain text needs no permission to be posted across origins.
  app.removeContentTypeParser('text/plain');
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(SECURITY_HEADERS);
    const refused = guard({
      address: request.ip,
      method: request.method,
      path: pathOf(request.url),
      headers: request.headers,
      upgrade: false,
    });
    if (refused) throw refused;
  });
  app.setErrorHandler((error, request, reply) => {
    const { status, answer } = answerFor(error);
    if (answer.error.code === 'internal' || answer.error.code === 'not-kept')
      log.error(
        { path: pathOf(request.url), error: String((error as Error)?.stack ?? error) },
        'a request failed',
      );
    // A person who opens the page is led to the form; a program is told.
    if (answer.error.code === 'token-needed' && request.headers.accept?.includes('text/html'))
      return reply.redirect('/enter', 303);
    return reply.code(status).send(answer);
  });
  app.setNotFoundHandler((request, reply) => {
    // A person who mistypes an address is told on the page, which leads on; a program by a code.
    const wantsPage = request.method === 'GET' && request.headers.accept?.includes('text/html');
    if (webFolder !== null && wantsPage && !request.url.startsWith('/api/'))
      return reply.code(404).sendFile('index.html');
    throw new RequestRefused(404, 'not-found', 'There is nothing at this address.');
  });
  return app;
}

function secureServer(
  options: { cert: string; key: string },
  handler: Parameters<typeof createServer>[1] & object,
): Server {
  try {
    // What fastify and ws use of a server is the same for both kinds.
    return createTlsServer(options, handler) as unknown as Server;
  } catch (error) {
    throw new ServeError(
      'tls-unusable',
      `Certificate and key cannot be used (${(error as Error).message}). Both must be PEM files that belong together: tls_cert and tls_key under [server] in the bench file.`,
      error,
    );
  }
}

function upgrade(request: IncomingMessage, socket: Duplex, head: Buffer, guard: Guard, live: Live): void {
  // Between here and the socket's own handler a reset must not end the program.
  socket.on('error', () => socket.destroy());
  const path = pathOf(request.url ?? '');
  const refused =
    guard({
      address: request.socket.remoteAddress ?? '',
      method: request.method ?? '',
      path,
      headers: request.headers,
      upgrade: true,
    }) ??
    (path === '/api/live'
      ? null
      : new RequestRefused(404, 'not-found', 'There is no socket at this address.')) ??
    (live.isFull() ? new RequestRefused(503, 'sockets-full', 'Too many live sockets are open.') : null);
  if (refused) socket.end(rawAnswer(refused));
  else live.takeOver(request, socket, head);
}

/** Of an address like `::`, which is all of them, a person types this machine's own. */
const shownHost = (host: string): string => {
  const name = host === '0.0.0.0' || host === '::' ? hostname() : host;
  return name.includes(':') ? `[${name}]` : name;
};

function ownNames(host: string, loopback: boolean, hostNames: readonly string[]): Set<string> {
  const machine = hostname().toLowerCase();
  const own = loopback ? [] : [host, machine, `${machine}.local`];
  return new Set([...own, ...hostNames].map((name) => name.toLowerCase()));
}

const pathOf = (url: string): string => url.split('?', 1)[0] ?? '';

function clientRefusal(error: NodeJS.ErrnoException): RequestRefused {
  if (error.code === 'HPE_HEADER_OVERFLOW')
    return new RequestRefused(431, 'headers-too-large', 'The headers of the request are too large.');
  if (error.code === 'ERR_HTTP_REQUEST_TIMEOUT')
    return new RequestRefused(408, 'too-slow', 'The request took too long to arrive.');
  return new RequestRefused(400, 'bad-request', 'This is no HTTP request.');
}
