/** The built page: files of one folder, each found when the server starts, so that no request can name another. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { ApiApp } from './app.ts';
import { ServeError } from './errors.ts';

/** Screens that are addresses of their own; all are the same page. */
const SCREENS = ['/spools', '/jobs', '/planner', '/setup', '/report'];
/** Files whose name holds a hash of their content never change under it. */
const HASHED_PATTERN = /[-.][A-Z0-9]{8}\.[a-z0-9]+(\.map)?$/;

export async function registerPages(app: ApiApp, folder: string): Promise<void> {
  if (!existsSync(join(folder, 'index.html')))
    throw new ServeError('page-missing', `There is no page in ${folder}: run "npm run build" first.`);
  await app.register(fastifyStatic, {
    root: folder,
    // Routes for the files that are there, none for any that may be named.
    wildcard: false,
    cacheControl: false,
    setHeaders(reply, path) {
      const forever = HASHED_PATTERN.test(path);
      // "no-cache" still saves the bytes: the browser asks with the ETag whether there is anything new.
      reply.header('cache-control', forever ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
  for (const screen of SCREENS) app.get(screen, (_request, reply) => reply.sendFile('index.html'));
}
