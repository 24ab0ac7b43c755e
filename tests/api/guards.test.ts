import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { MAX_BODY_BYTES, RATE } from '../../server/api/http.ts';
import type { Entry } from '../../server/api/messages.ts';
import { askRaw, listen, serve } from './serve.ts';

const TOKEN = 'only-for-this-test-0123456789abcdef';
const entry = JSON.stringify({ kind: 'lid', station: 'box' } satisfies Entry);
const json = { 'content-type': 'application/json' };

/** A server that takes entries and remembers what came through. */
async function serveEntries(more: Parameters<typeof serve>[0] = {}) {
  const taken: Entry[] = [];
  const served = await serve({
    enter: (one) => {
      taken.push(one);
      return { ok: true, spools: ['gear'] };
    },
    ...more,
  });
  return { ...served, taken };
}

test('a page from here may send a command; a page from elsewhere may not, and its command does nothing', async () => {
  const { ask, serving, taken } = await serveEntries();
  const host = `127.0.0.1:${serving.port}`;
  const post = (headers: Record<string, string>) =>
    ask('/api/entries', { method: 'POST', headers: { ...json, ...headers }, body: entry });
  expect(await post({ origin: `http://${host}` })).toMatchObject({
    status: 200,
    body: '{"spools":["gear"]}',
  });
  // A program that is no browser sends no origin.
  expect((await post({})).status).toBe(200);
  expect(taken).toHaveLength(2);
  for (const foreign of [
    { origin: 'http://evil.example' },
    { origin: 'null' },
    { origin: `http://localhost:${serving.port}` },
    { 'sec-fetch-site': 'cross-site' },
  ])
    expect(await post(foreign)).toMatchObject({ status: 403, code: 'origin-refused' });
  expect(taken).toHaveLength(2);
});

test('what a form can post without asking is not understood as a command', async () => {
  const { ask, taken } = await serveEntries();
  for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data'])
    expect(
      await ask('/api/entries', { method: 'POST', headers: { 'content-type': type }, body: entry }),
    ).toMatchObject({ status: 415, code: 'media-type' });
  expect(taken).toEqual([]);
});

test('the live socket opens for a page from here and for programs, not for a page from elsewhere', async () => {
  const { serving } = await serve();
  const own = await listen(serving.port, { origin: `http://127.0.0.1:${serving.port}` });
  expect(own.messages[0]).toMatchObject({ type: 'snapshot', sequence: 0 });
  expect((await listen(serving.port)).messages).toHaveLength(1);
  for (const origin of ['http://evil.example', 'null', 'http://127.0.0.1:1'])
    await expect(listen(serving.port, { origin })).rejects.toMatchObject({
      status: 403,
      code: 'origin-refused',
    });
});

test('a hostile name that was made to point here is refused, for pages, data and socket', async () => {
  const { ask, serving } = await serve();
  for (const host of ['evil.example', `evil.example:${serving.port}`, '192.168.1.9'])
    for (const path of ['/', '/api/bench', '/metrics'])
      expect(await ask(path, { headers: { host } })).toMatchObject({ status: 421, code: 'host-refused' });
  await expect(listen(serving.port, { host: 'evil.example' })).rejects.toMatchObject({ status: 421 });
  expect((await ask('/api/bench', { headers: { host: `localhost:${serving.port}` } })).status).toBe(200);
  expect(await askRaw(serving.port, 'GET /api/bench HTTP/1.0\r\n\r\n')).toMatch(/^HTTP\/1\.1 421 /);
});

test('beyond this machine everything asks for the token', async () => {
  const { ask, serving } = await serveEntries({ host: '0.0.0.0', token: TOKEN });
  const headers = { host: '127.0.0.1' };
  for (const [method, path] of [
    ['GET', '/api/bench'],
    ['GET', '/api/history?station=box&keys=t&fromMs=0&toMs=1'],
    ['GET', '/api/openapi.json'],
    ['GET', '/metrics'],
    ['GET', '/'],
    ['GET', '/no/such/thing'],
    ['POST', '/api/entries'],
  ] as const)
    for (const wrong of [{}, { authorization: `Bearer ${TOKEN}x` }, { cookie: `lowdew_entry=${TOKEN}` }])
      expect(await ask(path, { method, headers: { ...headers, ...wrong } }), path).toMatchObject({
        status: 401,
        code: 'token-needed',
      });
  await expect(listen(serving.port, headers)).rejects.toMatchObject({ status: 401, code: 'token-needed' });
  const bearer = { authorization: `Bearer ${TOKEN}` };
  expect((await ask('/api/bench', { headers: { ...headers, ...bearer } })).status).toBe(200);
  expect((await listen(serving.port, bearer)).messages).toHaveLength(1);
});

test('a person enters the token once and is let in by the cookie after that', async () => {
  const { ask, serving, clock, logged } = await serve({ host: '0.0.0.0', token: TOKEN });
  const headers = { host: `workshop.local:${serving.port}` };
  const own = { host: `127.0.0.1:${serving.port}` };
  // A browser that opens the page is led to the form; by a strange name it is not.
  expect(await ask('/', { headers: { ...headers, accept: 'text/html' } })).toMatchObject({ status: 421 });
  const led = await ask('/', { headers: { ...own, accept: 'text/html,*/*' } });
  expect([led.status, led.headers.location]).toEqual([303, '/enter']);
  const form = await ask('/enter', { headers: own });
  expect(form.body).toContain('<label for="token">Token</label>');
  expect(form.body).toContain('This connection is not encrypted');
  expect(form.body).not.toMatch(/<script|style=/);
  const send = (token: string, more: Record<string, string> = {}) =>
    ask('/enter', {
      method: 'POST',
      headers: { ...own, ...more, 'content-type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams({ token }).toString(),
    });
  const wrong = await send('wrong');
  expect([wrong.status, wrong.headers['set-cookie']]).toEqual([401, undefined]);
  expect(wrong.body).toContain('role="alert"');
  expect(await send(TOKEN, { origin: 'http://evil.example' })).toMatchObject({ status: 403 });
  const right = await send(` ${TOKEN} `);
  expect([right.status, right.headers.location]).toEqual([303, '/']);
  const cookie = right.headers['set-cookie']?.[0]?.split(';', 1)[0] ?? '';
  expect((await ask('/api/bench', { headers: { ...own, cookie } })).status).toBe(200);
  expect((await listen(serving.port, { cookie })).messages).toHaveLength(1);
  // Guessing is slow: ten tries, then one in ten seconds.
  for (let n = 0; n < 10; n++) await send('wrong');
  expect(await send(TOKEN)).toMatchObject({ status: 429 });
  clock.advance(10_001);
  expect((await send(TOKEN)).status).toBe(303);
  expect(logged.join()).not.toContain(TOKEN);
});

test('without a token nothing beyond this machine is served at all', async () => {
  await expect(serve({ host: '0.0.0.0' })).rejects.toMatchObject({ code: 'token-needed' });
});

test('a body too large is refused before it is taken, whatever it says of its length', async () => {
  const { ask, serving, taken } = await serveEntries();
  const large = JSON.stringify({ kind: 'lid', station: 'x'.repeat(MAX_BODY_BYTES) });
  const told = await ask('/api/entries', { method: 'POST', headers: json, body: large });
  expect(told).toMatchObject({ status: 413, code: 'body-too-large' });
  const chunk = 'x'.repeat(0x4000);
  const chunked = await askRaw(
    serving.port,
    `POST /api/entries HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n${`4000\r\n${chunk}\r\n`.repeat(5)}0\r\n\r\n`,
  );
  expect(chunked).toMatch(/^HTTP\/1\.1 413 /);
  const fits = JSON.stringify({ kind: 'lid', station: 'x'.repeat(MAX_BODY_BYTES - 100) });
  expect((await ask('/api/entries', { method: 'POST', headers: json, body: fits })).status).toBe(200);
  expect(taken).toHaveLength(1);
});

test('bodies that are no entry are refused with the field that is wrong, and numbers are not guessed', async () => {
  const { ask, taken } = await serveEntries();
  const post = (body: string) => ask('/api/entries', { method: 'POST', headers: json, body });
  expect(await post('{')).toMatchObject({ status: 400, code: 'bad-json' });
  expect(await post('')).toMatchObject({ status: 400, code: 'bad-json' });
  expect(await post('{"kind":"weigh-in","spool":"gear","massG":"1187"}')).toMatchObject({
    status: 400,
    code: 'bad-request',
  });
  expect(await post('{"kind":"weigh-in","spool":"gear","massG":-1}')).toMatchObject({ status: 400 });
  expect(taken).toEqual([]);
});

test('what the disk will not have is not acknowledged, and that is said', async () => {
  const { ask, logged } = await serve({
    enter: () => {
      throw Object.assign(new Error('SQLite says: database or disk is full'), { code: 'disk-full' });
    },
  });
  const answer = await ask('/api/entries', { method: 'POST', headers: json, body: entry });
  expect(answer).toMatchObject({ status: 507, code: 'not-kept' });
  expect(answer.body).toContain('Make room');
  expect(logged.join()).toContain('disk is full');
});

test('an address that asks without end is told to wait, and only that one', async () => {
  const { ask, serving, clock } = await serve();
  const statuses = new Map<number, number>();
  for (let n = 0; n < RATE.burst + 20; n++) {
    const { status } = await ask('/api/health');
    statuses.set(status, (statuses.get(status) ?? 0) + 1);
  }
  expect([...statuses]).toEqual([
    [200, RATE.burst],
    [429, 20],
  ]);
  await expect(listen(serving.port)).rejects.toMatchObject({ status: 429, code: 'too-many-requests' });
  clock.advance(1000);
  expect((await ask('/api/health')).status).toBe(200);
});

test('sockets are capped, and one that closes makes room', async () => {
  const { serving, clock } = await serve();
  const open = [];
  for (let n = 0; n < 100; n++) open.push(await listen(serving.port));
  await expect(listen(serving.port)).rejects.toMatchObject({ status: 503, code: 'sockets-full' });
  expect(serving.liveFacts()).toMatchObject({ sockets: 100, opened: 100 });
  open[0]?.socket.close();
  await open[0]?.closed;
  clock.advance(1);
  expect((await listen(serving.port)).messages).toHaveLength(1);
});

test('headers too large, and bytes that are no request, are answered and the connection closed', async () => {
  const { serving } = await serve();
  const long = await askRaw(
    serving.port,
    `GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: ${'x'.repeat(10_000)}\r\n\r\n`,
  );
  expect(long).toMatch(/^HTTP\/1\.1 431 /);
  expect(long).toContain('"code":"headers-too-large"');
  const noise = await askRaw(serving.port, '\x16\x03\x01\x02\x00 this is no request\r\n\r\n');
  expect(noise).toMatch(/^HTTP\/1\.1 400 /);
  expect(noise).toContain('content-security-policy');
});

test('every answer, good or bad, carries the strict headers', async () => {
  const web = mkdtempSync(join(tmpdir(), 'lowdew-web-'));
  onTestFinished(() => rmSync(web, { recursive: true, force: true }));
  writeFileSync(join(web, 'index.html'), '<!doctype html>');
  const { ask } = await serveEntries({ webFolder: web });
  for (const path of ['/', '/index.html', '/api/bench', '/metrics', '/none', '/api/history', '/%zz']) {
    const { headers } = await ask(path);
    const policy = String(headers['content-security-policy']);
    expect(policy, path).toContain("default-src 'none'; script-src 'self'; style-src 'self';");
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-resource-policy': 'same-origin',
    });
    expect(headers['access-control-allow-origin']).toBeUndefined();
  }
});

test('what fails inside is logged, and not told to the asker', async () => {
  const { ask, logged } = await serve({
    history: {
      read: () => {
        throw new Error('inner secret');
      },
      pages: () => [],
    },
  });
  const answer = await ask('/api/history?station=box&keys=t&fromMs=0&toMs=1');
  expect(answer).toMatchObject({ status: 500, code: 'internal' });
  expect(answer.body).not.toContain('inner secret');
  expect(logged.join()).toContain('inner secret');
  expect(logged.join()).not.toContain('station=box');
});
