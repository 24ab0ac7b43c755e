import { closeSync, fstatSync, openSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { afterEach, expect, test } from 'vitest';
import { openSafePort, type ReadFd } from '../../server/serial/safe-port.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { Happenings, within } from './rigs.ts';

const ptys: Pty[] = [];
afterEach(() => {
  for (const pty of ptys.splice(0)) pty.unplug();
});

/** Turns in which whatever was asked of the system before has been done: its queue is served in order. */
const turns = async (): Promise<void> => {
  for (let turn = 0; turn < 20; turn++) await stat('/');
};

/** A port whose reads the test answers; the stream that carries them; what it carried. */
async function openHeld() {
  const pty = await openPty();
  ptys.push(pty);
  const happenings = new Happenings();
  const reads: { fd: number; answer: (text: string) => void; refuse: (code: string) => void }[] = [];
  const readFd: ReadFd = (fd, into, offset) =>
    new Promise((settle, fail) => {
      reads.push({
        fd,
        answer: (text) => settle(into.write(text, offset, 'latin1')),
        refuse: (code) => fail(Object.assign(new Error(code), { code })),
      });
      happenings.happen();
    });
  const { stream, port } = await openSafePort(pty.path, 115_200, readFd);
  let carried = '';
  const closes: unknown[] = [];
  stream.on('data', (bytes: Buffer) => {
    carried += bytes.toString('latin1');
  });
  stream.on('close', (error: unknown) => {
    closes.push(error);
    happenings.happen();
  });
  await happenings.until(() => reads.length === 1, 'the first read');
  return { pty, stream, port, reads, happenings, closes, carried: () => carried };
}

test('a close waits for the read that is under way, and what that read brings is kept', async () => {
  const { port, reads, carried } = await openHeld();
  const { fd, answer } = reads[0] ?? expect.fail('no read');
  let isClosed = false;
  const closing = port.close().then(() => {
    isClosed = true;
  });
  await turns();
  // Were it closed now, another file might get the number and lose its bytes to this read.
  expect(isClosed).toBe(false);
  expect(fstatSync(fd).isCharacterDevice()).toBe(true);
  answer('last bytes');
  await within(closing, 'the close');
  expect(carried()).toBe('last bytes');
  expect(() => fstatSync(fd)).toThrow('EBADF');
  expect(reads.length).toBe(1);
});

test('closing twice closes one descriptor once', async () => {
  const { port, reads } = await openHeld();
  const { fd, answer } = reads[0] ?? expect.fail('no read');
  const first = port.close();
  answer('x');
  await within(first, 'the close');
  // The number goes to another file at once; a second close must leave it alone.
  const others = Array.from({ length: 8 }, () => openSync('/dev/null', 'r'));
  expect(others).toContain(fd);
  await within(port.close(), 'the second close');
  expect(fstatSync(fd).isCharacterDevice()).toBe(true);
  for (const other of others) closeSync(other);
});

test.each([
  ['nothing, which is a hang-up', (read: { answer(text: string): void }) => read.answer('')],
  ['an input/output error', (read: { refuse(code: string): void }) => read.refuse('EIO')],
  ['a device that is gone', (read: { refuse(code: string): void }) => read.refuse('ENXIO')],
])('a read that brings %s ends the port, once', async (_name, end) => {
  const { reads, closes, happenings } = await openHeld();
  end(reads[0] ?? expect.fail('no read'));
  await happenings.until(() => closes.length > 0, 'the close');
  await turns();
  expect(closes.length).toBe(1);
  expect(closes[0]).toBeInstanceOf(Error);
  expect(reads.length).toBe(1);
});

test('a read interrupted, or with nothing there yet, goes on when there is something', async () => {
  const { pty, port, reads, happenings, carried } = await openHeld();
  reads[0]?.refuse('EAGAIN');
  await turns();
  expect(reads.length).toBe(1);
  pty.write('x');
  await happenings.until(() => reads.length === 2, 'the second read');
  reads[1]?.refuse('EINTR');
  await happenings.until(() => reads.length === 3, 'the third read');
  reads[2]?.answer('abc');
  await happenings.until(() => reads.length === 4, 'the fourth read');
  expect(carried()).toBe('abc');
  const closing = port.close();
  reads[3]?.refuse('EAGAIN');
  await within(closing, 'the close');
});
