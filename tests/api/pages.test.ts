import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { askRaw, serve } from './serve.ts';

/** A web folder with a secret beside it. */
function webFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-web-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const web = join(folder, 'web');
  mkdirSync(join(web, 'parts'), { recursive: true });
  writeFileSync(join(web, 'index.html'), '<!doctype html><title>bench</title>');
  writeFileSync(join(web, 'app.js'), 'export const app = 1;');
  writeFileSync(join(web, 'app-A1B2C3D4.css'), 'body{}');
  writeFileSync(join(web, '.hidden'), 'SECRET');
  writeFileSync(join(folder, 'secret.txt'), 'SECRET');
  return { folder, web };
}

const HOSTILE_PATHS = [
  '/../secret.txt',
  '/parts/../../secret.txt',
  '/%2e%2e/secret.txt',
  '/..%2fsecret.txt',
  '/%2e%2e%2fsecret.txt',
  '/parts/..%2f..%2fsecret.txt',
  '/..%5csecret.txt',
  '/%252e%252e/secret.txt',
  '//../secret.txt',
  '/./../secret.txt',
  '/app.js/../../secret.txt',
  '/.hidden',
  '/..;/secret.txt',
  '/%00/../secret.txt',
];

test('no path leads out of the web folder', async () => {
  const { web } = webFolder();
  const { serving } = await serve({ webFolder: web });
  const fetchRaw = (port: number, path: string) =>
    askRaw(port, `GET ${path} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n`);
  for (const path of HOSTILE_PATHS) {
    const answer = await fetchRaw(serving.port, path);
    expect(answer, path).not.toContain('SECRET');
    expect(answer, path).toMatch(/^HTTP\/1\.1 (400|403|404) /);
  }
  // That these paths are hostile indeed is shown by a server that simply joins and reads.
  const naive = createServer((request, response) => {
    try {
      response.end(readFileSync(join(web, decodeURIComponent(request.url ?? ''))));
    } catch {
      response.end('none');
    }
  }).listen(0);
  onTestFinished(() => void naive.close());
  const address = naive.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  const leaks = [];
  for (const path of HOSTILE_PATHS) if ((await fetchRaw(port, path)).includes('SECRET')) leaks.push(path);
  expect(leaks.length).toBeGreaterThanOrEqual(8);
});

test('a link that leads out of the web folder is not followed for files that came after the start', async () => {
  const { folder, web } = webFolder();
  const { ask } = await serve({ webFolder: web });
  symlinkSync(join(folder, 'secret.txt'), join(web, 'late.txt'));
  expect((await ask('/late.txt')).status).toBe(404);
});

test('the page is served with its types, and asked for anew unless its name holds a hash', async () => {
  const { web } = webFolder();
  const { ask } = await serve({ webFolder: web });
  for (const path of ['/', '/spools', '/jobs', '/planner', '/setup'])
    expect(await ask(path)).toMatchObject({
      status: 200,
      body: '<!doctype html><title>bench</title>',
      headers: { 'cache-control': 'no-cache', 'content-type': 'text/html; charset=utf-8' },
    });
  const script = await ask('/app.js');
  expect(script.headers).toMatchObject({ 'cache-control': 'no-cache', etag: expect.any(String) });
  expect(script.headers['content-type']).toMatch(/^(text|application)\/javascript/);
  expect((await ask('/app.js', { headers: { 'if-none-match': String(script.headers.etag) } })).status).toBe(
    304,
  );
  expect((await ask('/app-A1B2C3D4.css')).headers['cache-control']).toBe(
    'public, max-age=31536000, immutable',
  );
  expect(await ask('/nothing.js')).toMatchObject({ status: 404, code: 'not-found' });
});

test('a page that was never built is an error with the remedy', async () => {
  await expect(serve({ webFolder: '/no/such/folder' })).rejects.toMatchObject({
    code: 'page-missing',
    message: expect.stringContaining('npm run build'),
  });
});
