/** The virtual port itself, against the system's own file calls rather than against our serial code. */
import { closeSync, constants, openSync, readSync, writeSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { openPty, PTY_BACKLOG_BYTES, type Pty } from '../../simulators/pty.ts';
import { Happenings, within } from './rigs.ts';

const ptys: Pty[] = [];
const fds: number[] = [];
afterEach(() => {
  for (const fd of fds.splice(0)) closeSync(fd);
  for (const pty of ptys.splice(0)) pty.unplug();
});

async function plugIn(): Promise<{ pty: Pty; fd: number }> {
  const pty = await openPty();
  ptys.push(pty);
  const fd = openSync(pty.path, constants.O_RDWR | constants.O_NOCTTY | constants.O_NONBLOCK);
  fds.push(fd);
  return { pty, fd };
}

/** All that can be had now. */
function readNow(fd: number): Buffer {
  const chunks: Buffer[] = [];
  for (;;) {
    const chunk = Buffer.alloc(65_536);
    try {
      const bytes = readSync(fd, chunk);
      if (bytes === 0) break;
      chunks.push(chunk.subarray(0, bytes));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'EAGAIN') break;
      throw error;
    }
  }
  return Buffer.concat(chunks);
}

test('every byte passes both ways as it is, without echo', async () => {
  const { pty, fd } = await plugIn();
  const all = Buffer.from(Array.from({ length: 256 }, (_, i) => i));
  const happenings = new Happenings();
  let heard = Buffer.alloc(0);
  pty.onData((bytes) => {
    heard = Buffer.concat([heard, bytes]);
    happenings.happen();
  });
  expect(pty.write(all)).toBe('sent');
  expect(readNow(fd)).toEqual(all);
  writeSync(fd, all);
  await happenings.until(() => heard.length === 256, 'the bytes');
  expect(heard).toEqual(all);
  expect(readNow(fd).length).toBe(0);
});

test('what the host is slow to read waits, in order, up to a bound', async () => {
  const { pty, fd } = await plugIn();
  const chunk = Buffer.alloc(100_000, 'abcdefg');
  expect(pty.write(chunk)).toBe('queued');
  expect(pty.backlogBytes).toBeGreaterThan(0);
  const rest = Buffer.alloc(PTY_BACKLOG_BYTES - 100_000, 'h');
  expect(pty.write(rest)).toBe('queued');
  expect(pty.write(Buffer.alloc(200_000))).toBe('lost');
  expect(pty.lostBytes).toBe(200_000);
  const drained = pty.drained();
  const got: Buffer[] = [];
  const read = async (): Promise<void> => {
    for (let bytes = 0; bytes < chunk.length + rest.length; bytes += got.at(-1)?.length ?? 0) {
      got.push(readNow(fd));
      await new Promise((settle) => setImmediate(settle));
    }
  };
  await within(Promise.all([read(), drained]), 'the backlog');
  expect(Buffer.concat(got).equals(Buffer.concat([chunk, rest]))).toBe(true);
  expect(pty.backlogBytes).toBe(0);
});

test('unplugged, it hangs the host up, and what is written is lost', async () => {
  const { pty, fd } = await plugIn();
  pty.unplug();
  pty.unplug();
  // A hung-up terminal takes nothing: input/output error. Until then a write succeeds.
  const hangUp = async (): Promise<string> => {
    for (;;) {
      try {
        writeSync(fd, 'x');
      } catch (error) {
        return (error as NodeJS.ErrnoException).code ?? '';
      }
      await new Promise((settle) => setImmediate(settle));
    }
  };
  expect(await within(hangUp(), 'the hang-up')).toBe('EIO');
  expect(readSync(fd, Buffer.alloc(10))).toBe(0);
  expect(pty.write('x')).toBe('lost');
  await within(pty.drained(), 'nothing');
});
