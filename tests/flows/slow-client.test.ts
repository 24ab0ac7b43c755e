import { expect, test } from 'vitest';
import { PING_EVERY_MS } from '../../server/api/live.ts';
import { type Listener, listen, serve } from '../api/serve.ts';

const MESSAGE_BYTES = 64 * 1024;
/** More than the system's own buffers take for a connection that is never read: some 10 MB at most on loopback. */
const MESSAGES = 240;
const MAX_STUCK_BYTES = 1_000_000;

/** The other end has by then read all that was sent before, answers to its pings included. */
const roundTrip = ({ socket }: Listener) =>
  new Promise((resolve) => {
    socket.once('pong', resolve);
    socket.ping();
  });

test('of fifty pages ten never read: they cost little and then their connection, and the others notice nothing', async () => {
  const { serving, bench, clock } = await serve();
  const pages = await Promise.all(Array.from({ length: 50 }, () => listen(serving.port)));
  const stuck = pages.slice(0, 10);
  const well = pages.slice(10);
  for (const { socket } of stuck) socket.pause();

  let most = 0;
  for (let n = 1; n <= MESSAGES; n++) {
    bench.tell(n, MESSAGE_BYTES);
    await Promise.all(well.map((page) => page.has(n + 1)));
    // Those that read have read by now, so all that waits is for those that do not.
    most = Math.max(most, serving.liveFacts().bufferedBytes);
  }
  for (const { messages } of well)
    expect(messages.map(({ sequence }) => sequence)).toEqual([...Array(MESSAGES + 1).keys()]);
  expect(serving.liveFacts()).toMatchObject({ sockets: 50, behind: 10, dropped: 0 });
  expect(most).toBeGreaterThan(0);
  expect(most).toBeLessThanOrEqual(10 * MAX_STUCK_BYTES);

  // One of them wakes: it reads what had been sent, then one fresh snapshot, and goes on from there.
  const [woken, ...dead] = stuck as [Listener, ...Listener[]];
  woken.socket.resume();
  await roundTrip(woken);
  bench.tell(70.5, MESSAGE_BYTES);
  bench.tell(70.6);
  const last = bench.snapshot().sequence;
  while (woken.messages.at(-1)?.sequence !== last) await woken.has(woken.messages.length + 1);
  const jumps = woken.messages.filter(
    ({ sequence }, n) => sequence !== (woken.messages[n - 1]?.sequence ?? -1) + 1,
  );
  expect(jumps).toMatchObject([
    { type: 'snapshot', sequence: last - 1, stations: [{ values: { t: 70.5 } }] },
  ]);
  expect(serving.liveFacts().behind).toBe(9);

  clock.advance(PING_EVERY_MS);
  await Promise.all([woken, ...well].map(roundTrip));
  clock.advance(PING_EVERY_MS);
  expect(serving.liveFacts()).toMatchObject({ sockets: 41, behind: 0, dropped: 9 });
  expect(serving.liveFacts().bufferedBytes).toBeLessThan(MAX_STUCK_BYTES);
  bench.tell(71);
  await Promise.all(well.map((page) => page.has(MESSAGES + 4)));
  expect(dead).toHaveLength(9);
}, 60_000);
