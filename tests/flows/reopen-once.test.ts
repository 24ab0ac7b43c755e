/** However many events say that a port is gone, it is opened anew once, and only when the old handle is given back. */
import { Readable } from 'node:stream';
import type { SerialPortStream } from '@serialport/stream';
import { afterEach, expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import type { Connection, Way } from '../../server/serial/connection.ts';
import { type Link, startLink } from '../../server/serial/link.ts';
import { joinPort } from '../../server/serial/port-way.ts';
import { SourceError } from '../../server/serial/trouble.ts';
import { Taker, within } from '../serial/rigs.ts';

const links: Link[] = [];
afterEach(async () => {
  for (const link of links.splice(0)) await within(link.close(), 'an orderly end');
});

const settled = async (): Promise<void> => {
  for (let turn = 0; turn < 5; turn++) await new Promise((settle) => setImmediate(settle));
};

/** A port that does what a test says; the members that a connection uses, no more. */
class FakePort extends Readable {
  readonly closings: (() => void)[] = [];
  /** Set: closing takes no time. */
  isQuick = false;
  override _read(): void {}
  readonly handle = {
    close: () => new Promise<void>((settle) => (this.isQuick ? settle() : this.closings.push(settle))),
    write: () => Promise.resolve(),
  };
}

function fakeWay(onOpen: () => void) {
  const ports: FakePort[] = [];
  const way: Way = {
    describe: () => 'a port',
    afterEnd: 'reopen',
    open: async (): Promise<Connection> => {
      onOpen();
      const port = new FakePort();
      ports.push(port);
      return joinPort(port as Readable as SerialPortStream, port.handle, 'a port');
    },
  };
  return { way, ports };
}

function linkOn(way: Way, clock = falseClock(0), taker = new Taker()) {
  const link = startLink({
    sourceId: 'usb',
    way,
    clock,
    random: () => 0,
    onLine: taker.onLine,
    onState: taker.onState,
  });
  links.push(link);
  return { clock, taker, link };
}

test.each([
  ['error, then close', ['error', 'close']],
  ['close, then error', ['close', 'error']],
  ['close twice', ['close', 'close']],
  ['an error alone', ['error']],
])('%s: one attempt', async (_name, events) => {
  let opened = 0;
  const { way, ports } = fakeWay(() => {
    opened += 1;
  });
  const { clock, taker, link } = linkOn(way);
  await taker.until(() => taker.state === 'open', 'the opening');
  const port = ports[0] as FakePort;
  for (const event of events) port.emit(event, event === 'error' ? new Error('gone') : null);
  await settled();
  // The handle is still out: nothing may be opened, however much time goes by.
  expect(port.closings.length).toBe(1);
  clock.advance(60_000);
  await settled();
  expect(opened).toBe(1);
  for (const giveBack of port.closings) giveBack();
  await taker.until(() => taker.state === 'waiting', 'the wait');
  expect(taker.trouble?.code).toBe('unplugged');
  clock.advance(249);
  await settled();
  expect(opened).toBe(1);
  clock.advance(1);
  await taker.until(() => link.state().attempts === 2 && taker.state === 'open', 'the second opening');
  clock.advance(9_000);
  await settled();
  expect(opened).toBe(2);
  for (const later of ports) later.isQuick = true;
});

/** Opens, brings these bytes, ends; at once, and as often as it is asked. */
function fleetingWay(now: () => number, bytes: string[]) {
  const tries: number[] = [];
  const way: Way = {
    describe: () => 'a port',
    afterEnd: 'reopen',
    open: async () => {
      tries.push(now());
      return {
        bytes: Readable.from(bytes.map((text) => Buffer.from(text))),
        ended: Promise.resolve({ code: 'unplugged' as const, sentence: 'Gone.' }),
        write: () => {},
        close: () => Promise.resolve(),
      };
    },
  };
  return { way, tries };
}

test.each([
  ['nothing is tried ever more slowly, up to 15 s', [], [250, 500, 1000, 2000, 4000, 8000, 15_000, 15_000]],
  ['a good line each time is tried at once', ['good\n'], Array(8).fill(250)],
  ['a bad line is no better than nothing', ['bad\n'], [250, 500, 1000, 2000, 4000, 8000, 15_000, 15_000]],
])('a port that opens, ends, and brings %s', async (_name, bytes, expected) => {
  const clock = falseClock(5000);
  const { way, tries } = fleetingWay(() => clock.now().monotonicMs, bytes);
  const taker = new Taker();
  const link = startLink({
    sourceId: 'usb',
    way,
    clock,
    random: () => 0,
    onLine: (line) => {
      if (line.text === 'good') link.noteAccepted();
      taker.onLine(line);
    },
    onState: taker.onState,
  });
  links.push(link);
  for (let attempt = 1; attempt <= expected.length; attempt++) {
    await taker.until(() => taker.state === 'waiting' && tries.length === attempt, `attempt ${attempt}`);
    while (tries.length === attempt) {
      clock.advance(250);
      await settled();
    }
  }
  const waits = tries.slice(1).map((at, i) => at - (tries[i] as number));
  expect(waits).toEqual(expected);
});

test('a port that is not there is not there since the first try, however many follow', async () => {
  const clock = falseClock(5000);
  const taker = new Taker();
  const way: Way = {
    describe: () => 'a port',
    afterEnd: 'reopen',
    open: () => Promise.reject(new SourceError({ code: 'port-not-found', sentence: 'There is no port.' })),
  };
  const { link } = linkOn(way, clock, taker);
  for (let attempt = 1; attempt <= 4; attempt++) {
    await taker.until(() => taker.state === 'waiting' && link.state().attempts === attempt, 'a refusal');
    expect(link.state()).toMatchObject({ sinceMs: 5000, trouble: { code: 'port-not-found' } });
    clock.advance(15_000);
    await settled();
  }
});

test('a close during the wait opens nothing more', async () => {
  let opened = 0;
  const { way, ports } = fakeWay(() => {
    opened += 1;
  });
  const { clock, taker, link } = linkOn(way);
  await taker.until(() => taker.state === 'open', 'the opening');
  const port = ports[0] as FakePort;
  port.isQuick = true;
  port.emit('close');
  await taker.until(() => taker.state === 'waiting', 'the wait');
  await link.close();
  clock.advance(60_000);
  await settled();
  expect(opened).toBe(1);
  expect(taker.state).toBe('closed');
});
