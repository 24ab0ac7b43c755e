import { request } from 'node:https';
import { networkInterfaces } from 'node:os';
import { expect, test } from 'vitest';
import WebSocket from 'ws';
import { listenError, ServeError } from '../../server/api/errors.ts';
import { selfSigned } from './self-signed.ts';
import { serve } from './serve.ts';

const failure = async (more: Parameters<typeof serve>[0]): Promise<ServeError> => {
  try {
    await serve(more);
  } catch (error) {
    if (error instanceof ServeError) return error;
    throw error;
  }
  throw new Error('it was served');
};

test('a port that is taken is told with the remedy, and the first server is none the worse', async () => {
  const { serving, ask } = await serve();
  const error = await failure({ port: serving.port });
  expect(error.code).toBe('listen-busy');
  expect(error.message).toContain(`127.0.0.1:${serving.port} is taken: is lowdew running already?`);
  expect(error.message).toContain(`listen = "127.0.0.1:${serving.port + 1}" under [server]`);
  expect((await ask('/api/bench')).status).toBe(200);
});

test('an address that is not of this machine is told with the remedy', async () => {
  // TEST-NET-1 (RFC 5737): belongs to nobody.
  const error = await failure({ host: '192.0.2.1', token: 'x'.repeat(32) });
  expect(error.code).toBe('listen-address');
  expect(error.message).toContain('127.0.0.1 for this machine alone');
});

test('a port that only the system may have is told as such', () => {
  // Root may have any port, so the error is made by hand.
  const error = listenError(Object.assign(new Error('denied'), { code: 'EACCES' }), '0.0.0.0', 80);
  expect(error).toMatchObject({
    code: 'listen-denied',
    message: expect.stringContaining('ports below 1024'),
  });
  const other = new Error('something else');
  expect(listenError(other, '0.0.0.0', 80)).toBe(other);
});

test('a server for this machine alone cannot be reached by its address in the network', async () => {
  const { serving } = await serve();
  const outside = Object.values(networkInterfaces())
    .flat()
    .find((found) => found && !found.internal && found.family === 'IPv4')?.address;
  if (outside === undefined) return;
  await expect(fetch(`http://${outside}:${serving.port}/api/bench`)).rejects.toThrow();
});

test('over TLS the page, the socket and the cookie are served as they should be', async () => {
  const tls = selfSigned();
  const token = 'x'.repeat(32);
  const { serving } = await serve({ host: '0.0.0.0', tls, token });
  expect(serving.url).toMatch(/^https:\/\//);
  const [status, cookie] = await new Promise<[number | undefined, string]>((resolve, reject) => {
    const asked = request(
      {
        host: '127.0.0.1',
        port: serving.port,
        path: '/enter',
        method: 'POST',
        ca: tls.cert,
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
      },
      (response) => {
        response.resume();
        resolve([response.statusCode, String(response.headers['set-cookie'])]);
      },
    );
    asked.on('error', reject);
    asked.end(`token=${token}`);
  });
  expect(status).toBe(303);
  expect(cookie).toMatch(/; Secure$/);
  const socket = new WebSocket(`wss://127.0.0.1:${serving.port}/api/live`, {
    ca: tls.cert,
    headers: { cookie: cookie.split(';', 1)[0] ?? '', origin: `https://127.0.0.1:${serving.port}` },
  });
  const first = await new Promise((resolve, reject) => {
    socket.once('message', (data) => resolve(JSON.parse(String(data))));
    socket.once('error', reject);
  });
  expect(first).toMatchObject({ type: 'snapshot' });
  socket.terminate();
});

test('a certificate that is none is told with the remedy', async () => {
  const good = selfSigned();
  for (const tls of [
    { cert: 'no certificate', key: good.key },
    { cert: good.cert, key: selfSigned().key },
  ]) {
    const error = await failure({ tls });
    expect(error.code).toBe('tls-unusable');
    expect(error.message).toContain('tls_cert and tls_key under [server]');
  }
});
