import { expect, test } from 'vitest';
import { createOutbox, DROP_AFTER_MS, HIGH_MARK_BYTES, LOW_MARK_BYTES } from '../../server/api/outbox.ts';

function fakeSocket() {
  const sent: string[] = [];
  let waiting = 0;
  let dropped = false;
  return {
    sent,
    read: (bytes: number) => {
      waiting = Math.max(0, waiting - bytes);
    },
    isDropped: () => dropped,
    transport: {
      buffered: () => waiting,
      send: (message: Buffer) => {
        waiting += message.length;
        sent.push(message.toString('latin1').slice(0, 20));
      },
      drop: () => {
        dropped = true;
      },
    },
  };
}

const large = (name: string) => Buffer.from(name.padEnd(100_000, '.'));
const snapshot = () => Buffer.from('snapshot');

test('a client that reads gets every message and never a snapshot', () => {
  const socket = fakeSocket();
  const outbox = createOutbox(socket.transport);
  for (let n = 0; n < 100; n++) {
    expect(outbox.offer(large(`m${n}`), snapshot, n)).toBe('send');
    socket.read(100_000);
  }
  expect(socket.sent).toHaveLength(100);
});

test('one that falls behind is skipped, then gets one snapshot and goes on from there', () => {
  const socket = fakeSocket();
  const outbox = createOutbox(socket.transport);
  const decisions = Array.from({ length: 10 }, (_, n) => outbox.offer(large(`m${n}`), snapshot, n));
  expect(decisions).toEqual([...Array(3).fill('send'), ...Array(7).fill('skip')]);
  expect(outbox.isBehind()).toBe(true);
  socket.read(300_000 - LOW_MARK_BYTES - 1);
  expect(outbox.offer(large('m10'), snapshot, 10)).toBe('skip');
  socket.read(1);
  expect(outbox.offer(large('m11'), snapshot, 11)).toBe('catch-up');
  expect(outbox.isBehind()).toBe(false);
  expect(outbox.offer(large('m12'), snapshot, 12)).toBe('send');
  expect(socket.sent.slice(3).map((text) => text.replaceAll('.', ''))).toEqual(['snapshot', 'm12']);
});

test('one that never reads costs a mark and a message, and after half a minute its connection', () => {
  const socket = fakeSocket();
  const outbox = createOutbox(socket.transport);
  for (let ms = 0; ms < DROP_AFTER_MS; ms += 100) outbox.offer(large('m'), snapshot, ms);
  expect(socket.transport.buffered()).toBeLessThanOrEqual(HIGH_MARK_BYTES + 100_000);
  expect(socket.isDropped()).toBe(false);
  outbox.offer(large('m'), snapshot, DROP_AFTER_MS + 300);
  expect(socket.isDropped()).toBe(true);
});

test('a snapshot is made only for one who has caught up', () => {
  const socket = fakeSocket();
  const outbox = createOutbox(socket.transport);
  let made = 0;
  const counted = () => {
    made++;
    return snapshot();
  };
  for (let n = 0; n < 20; n++) outbox.offer(large('m'), counted, n);
  expect(made).toBe(0);
});
