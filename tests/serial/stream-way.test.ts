import { once } from 'node:events';
import { type connect, Socket } from 'node:net';
import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { wayByInput, wayByTcp } from '../../server/serial/stream-way.ts';

/** A host that is switched off: the socket hears nothing. */
function silentHost() {
  const sockets: Socket[] = [];
  const dial = (() => {
    const socket = new Socket();
    sockets.push(socket);
    return socket;
  }) as typeof connect;
  const clock = falseClock(0);
  return { sockets, clock, way: wayByTcp('box.local', 2000, clock, dial) };
}

test('a host that is silent is given up after ten seconds, and its socket with it', async () => {
  const { sockets, clock, way } = silentHost();
  const opening = way.open(new AbortController().signal);
  clock.advance(9_999);
  expect(sockets[0]?.destroyed).toBe(false);
  clock.advance(1);
  await expect(opening).rejects.toMatchObject({
    code: 'tcp-unreachable',
    message: 'box.local does not answer. Check that it is switched on and on the same network.',
  });
  expect(sockets[0]?.destroyed).toBe(true);
});

test('a wait for a host ends when it is no longer wanted', async () => {
  const { sockets, way } = silentHost();
  const wanted = new AbortController();
  const opening = way.open(wanted.signal);
  wanted.abort();
  await expect(opening).rejects.toMatchObject({ code: 'tcp-failed' });
  expect(sockets[0]?.destroyed).toBe(true);
});

test('standard input can be opened again after it was closed: what is said then still arrives', async () => {
  const input = new PassThrough();
  const way = wayByInput(input);
  const first = await way.open(new AbortController().signal);
  input.write('one\n');
  expect(String((await once(first.bytes, 'data'))[0])).toBe('one\n');
  await first.close();
  expect(await first.ended).toBeNull();
  const second = await way.open(new AbortController().signal);
  input.write('two\n');
  expect(String((await once(second.bytes, 'data'))[0])).toBe('two\n');
  await second.close();
});
