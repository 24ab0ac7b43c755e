import { describe, expect, test } from 'vitest';
import type { Change, Snapshot } from '../../server/api/messages.ts';
import {
  FIRST_DELAY_MS,
  LONGEST_DELAY_MS,
  readMessage,
  retryDelayMs,
  startLive,
  WATCH_MS,
} from '../../web/live.ts';
import { falseWorld } from './false-world.ts';

const snapshot = (sequence: number): string =>
  JSON.stringify({ type: 'snapshot', sequence } satisfies Partial<Snapshot>);
const change = (sequence: number): string =>
  JSON.stringify({ type: 'change', sequence } satisfies Partial<Change>);

function begin() {
  const world = falseWorld();
  const told: string[] = [];
  let answer: 'taken' | 'jump' = 'taken';
  const live = startLive(world, {
    snapshot: (message) => told.push(`snapshot ${message.sequence}`),
    change(message) {
      told.push(`change ${message.sequence}`);
      return answer;
    },
    lost: () => told.push('lost'),
  });
  return {
    world,
    told,
    live,
    jumpNext() {
      answer = 'jump';
    },
  };
}

describe('the live socket', () => {
  test('a snapshot, then changes', () => {
    const { world, told } = begin();
    world.newest().message(snapshot(4));
    world.newest().message(change(5));
    expect(told).toEqual(['snapshot 4', 'change 5']);
  });

  test('changes before a snapshot, and texts that are no message, are not passed on', () => {
    const { world, told } = begin();
    for (const text of [
      change(5),
      'not json',
      '[]',
      'null',
      '{"type":"snapshot"}',
      '{"type":"other","sequence":1}',
    ])
      world.newest().message(text);
    expect(told).toEqual([]);
    expect(readMessage('{"type":"change","sequence":"1"}')).toBeNull();
  });

  test('an ended socket is said to be lost once, and opened again after half to all of the first delay', () => {
    for (const random of [0, 0.999]) {
      const { world, told } = begin();
      world.randomNext = random;
      world.newest().message(snapshot(1));
      world.newest().closed();
      expect(told).toEqual(['snapshot 1', 'lost']);
      world.pass(LONGEST_DELAY_MS);
      const waitedMs = world.sockets[1]!.openedMs - world.sockets[0]!.openedMs;
      expect(waitedMs).toBeCloseTo(FIRST_DELAY_MS * (0.5 + 0.5 * random), 5);
    }
  });

  test('the delay doubles with each failure, is capped, and starts anew after a snapshot', () => {
    const { world, told } = begin();
    const waits: number[] = [];
    for (let failure = 0; failure < 8; failure++) {
      const before = world.sockets.length;
      world.newest().closed();
      const fromMs = world.nowMs();
      world.pass(LONGEST_DELAY_MS);
      expect(world.sockets.length).toBe(before + 1);
      waits.push(world.newest().openedMs - fromMs);
    }
    expect(waits).toEqual([250, 500, 1000, 2000, 4000, 7500, 7500, 7500]);
    expect(told).toEqual(['lost']);
    world.newest().message(snapshot(9));
    world.newest().closed();
    const fromMs = world.nowMs();
    world.pass(LONGEST_DELAY_MS);
    expect(world.newest().openedMs - fromMs).toBe(250);
    expect(told).toEqual(['lost', 'snapshot 9', 'lost']);
  });

  test('pages that come back together do not come back in the same instant', () => {
    const delays = new Set([0, 0.2, 0.4, 0.6, 0.8].map((random) => retryDelayMs(0, random)));
    expect(delays.size).toBe(5);
    expect(
      Math.max(...[0, 5, 40, 4000].map((failures) => retryDelayMs(failures, 0.999_999))),
    ).toBeLessThanOrEqual(LONGEST_DELAY_MS);
  });

  test('a socket that looks alive but says nothing is left, and a new one opened', () => {
    const { world, told } = begin();
    world.newest().message(snapshot(1));
    world.pass(WATCH_MS - 1);
    world.newest().message(change(2));
    world.pass(WATCH_MS - 1);
    expect(world.sockets.length).toBe(1);
    world.pass(1);
    expect(world.sockets.length).toBe(2);
    expect(world.sockets[0]!.closedByPage).toBe(true);
    expect(told.at(-1)).toBe('lost');
  });

  test('the last words of a socket that was left are not heard', () => {
    const { world, told } = begin();
    world.newest().message(snapshot(1));
    world.pass(WATCH_MS);
    const [old] = world.sockets;
    world.newest().message(snapshot(5));
    old!.message(change(2));
    old!.closed();
    expect(told).toEqual(['snapshot 1', 'lost', 'snapshot 5']);
    world.pass(FIRST_DELAY_MS);
    expect(world.sockets.length).toBe(2);
  });

  test('an attempt that neither opens nor fails is given up', () => {
    const { world, told } = begin();
    world.pass(WATCH_MS);
    expect(told).toEqual(['lost']);
    expect(world.sockets[0]!.closedByPage).toBe(true);
    world.pass(FIRST_DELAY_MS);
    expect(world.sockets.length).toBe(2);
  });

  test('a missing message asks for a new snapshot by opening the socket anew, without being called lost', () => {
    const { world, told, jumpNext } = begin();
    world.newest().message(snapshot(1));
    jumpNext();
    world.newest().message(change(7));
    expect(world.sockets[0]!.closedByPage).toBe(true);
    world.pass(FIRST_DELAY_MS);
    expect(world.sockets.length).toBe(2);
    world.newest().message(snapshot(7));
    expect(told).toEqual(['snapshot 1', 'change 7', 'snapshot 7']);
  });

  test('error and close together make one attempt', () => {
    const { world } = begin();
    world.newest().message(snapshot(1));
    const socket = world.newest();
    socket.closed();
    socket.closed();
    world.pass(FIRST_DELAY_MS);
    expect(world.sockets.length).toBe(2);
  });

  test('a page that is looked at again does not wait for the next attempt', () => {
    const { world, live } = begin();
    for (let failure = 0; failure < 6; failure++) {
      world.newest().closed();
      world.pass(LONGEST_DELAY_MS);
    }
    world.newest().closed();
    const before = world.sockets.length;
    live.wake();
    expect(world.sockets.length).toBe(before + 1);
    // And with a socket that speaks it is left in peace.
    world.newest().message(snapshot(1));
    live.wake();
    expect(world.sockets.length).toBe(before + 1);
  });

  test('after a stop nothing is opened any more', () => {
    const { world, live } = begin();
    world.newest().closed();
    live.stop();
    live.wake();
    world.pass(10 * LONGEST_DELAY_MS);
    expect(world.sockets.length).toBe(1);
  });
});
