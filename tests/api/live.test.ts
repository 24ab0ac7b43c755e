import { connect } from 'node:net';
import { expect, test } from 'vitest';
import { PING_EVERY_MS } from '../../server/api/live.ts';
import { listen, serve } from './serve.ts';

test('a snapshot comes first, then every change, and their sequence has no hole', async () => {
  const { serving, bench } = await serve();
  for (let n = 0; n < 3; n++) bench.tell(60 + n);
  const page = await listen(serving.port);
  expect(page.messages[0]).toMatchObject({
    type: 'snapshot',
    sequence: 3,
    stations: [{ values: { t: 62 } }],
  });
  for (let n = 0; n < 50; n++) bench.tell(70 + n);
  await page.has(51);
  expect(page.messages.map(({ sequence }) => sequence)).toEqual(Array.from({ length: 51 }, (_, n) => n + 3));
  expect(page.messages.at(-1)).toMatchObject({ type: 'change', stations: [{ values: { t: 119 } }] });
});

test('pages that join in the middle of a flood miss nothing between snapshot and changes', async () => {
  const { serving, bench } = await serve();
  let told = 0;
  const pages = await Promise.all(
    Array.from({ length: 20 }, async () => {
      const page = listen(serving.port);
      while (told < 500 && told % 25 !== 24) {
        bench.tell(told++);
        await new Promise(setImmediate);
      }
      bench.tell(told++);
      return page;
    }),
  );
  bench.tell(999);
  for (const page of pages) {
    const first = page.messages[0]?.sequence ?? 0;
    await page.has(bench.snapshot().sequence - first + 1);
    expect(page.messages.map(({ sequence }) => sequence - first)).toEqual([...page.messages.keys()]);
    expect(page.messages.at(-1)).toMatchObject({ stations: [{ values: { t: 999 } }] });
  }
});

test('a page that answers no ping is given up after a round; one that answers stays', async () => {
  const { serving, bench, clock } = await serve();
  const alive = await listen(serving.port);
  // A connection that never reads or says anything again, as behind a wall that swallows packets.
  const dead = connect(serving.port, '127.0.0.1');
  dead.write(
    `GET /api/live HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${Buffer.alloc(16).toString('base64')}\r\n\r\n`,
  );
  await new Promise((resolve) => dead.once('data', resolve));
  dead.pause();
  expect(serving.liveFacts().sockets).toBe(2);
  clock.advance(PING_EVERY_MS);
  // The answer to a ping goes through before the page's next message can be seen here.
  await new Promise((resolve) => alive.socket.once('ping', resolve));
  alive.socket.ping();
  await new Promise((resolve) => alive.socket.once('pong', resolve));
  clock.advance(PING_EVERY_MS);
  expect(serving.liveFacts()).toMatchObject({ sockets: 1, dropped: 1 });
  bench.tell(71);
  await alive.has(2);
  dead.destroy();
});

test('what a page says is not listened to, and a flood of it ends its connection alone', async () => {
  const { serving, bench } = await serve();
  const quiet = await listen(serving.port);
  const loud = await listen(serving.port);
  loud.socket.send('{"type":"change","sequence":99}');
  bench.tell(71);
  await loud.has(2);
  loud.socket.send('x'.repeat(2000));
  // 1009: message too big (RFC 6455, 7.4.1).
  expect(await loud.closed).toBe(1009);
  bench.tell(72);
  await quiet.has(3);
  expect(serving.liveFacts().sockets).toBe(1);
});

test('stopping says so to every page and lets go of the bench', async () => {
  const { serving, bench } = await serve();
  const page = await listen(serving.port);
  expect(bench.listeners()).toBe(1);
  await serving.close();
  expect([1001, 1006]).toContain(await page.closed);
  expect(bench.listeners()).toBe(0);
});

test('a plain request for the socket is told what it needs', async () => {
  const { ask, serving } = await serve();
  expect(await ask('/api/live')).toMatchObject({ status: 426, code: 'upgrade-needed' });
  const headers = { connection: 'Upgrade', upgrade: 'websocket', 'sec-websocket-version': '13' };
  expect(await ask('/elsewhere', { headers })).toMatchObject({ status: 404, code: 'not-found' });
  // No key: refused by the WebSocket handshake itself (RFC 6455, 4.2.1).
  expect((await ask('/api/live', { headers })).status).toBe(400);
  expect(serving.liveFacts().sockets).toBe(0);
});
