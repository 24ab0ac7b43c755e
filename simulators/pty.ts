/**
 * A real virtual serial port: the master side of a pseudo-terminal, made in this process by calls into the C library.
 * The host opens `path` like any port; what is written here arrives there, and the other way round.
 *
 * Known to work on Linux with glibc (x64, arm64). Written for musl and macOS too, but untested there; Windows has none.
 * A pty has no baud rate and no modem lines: it does not pace, and DTR cannot be set on it.
 */
import fs from 'node:fs';
import tty from 'node:tty';
import { type Cancel, type Clock, systemClock } from '../server/clock.ts';

export type PtyErrorCode = 'pty-platform' | 'pty-library' | 'pty-failed';

/** No virtual port can be made here, and why. `code` is stable. */
export class PtyError extends Error {
  readonly code: PtyErrorCode;
  constructor(code: PtyErrorCode, message: string, cause?: unknown) {
    super(message, { cause });
    this.name = 'PtyError';
    this.code = code;
  }
}

/** `sent`: the kernel has it. `queued`: it follows when the host reads. `lost`: unplugged, or the backlog was full. */
export type WriteOutcome = 'sent' | 'queued' | 'lost';

export interface Pty {
  /** What the host opens: "/dev/pts/7". */
  readonly path: string;
  /** Bytes waiting here because nobody reads the other side fast enough. */
  readonly backlogBytes: number;
  /** Bytes thrown away so far, as a UART's overrun does. */
  readonly lostBytes: number;
  /** A string is taken as latin1. Never blocks. A write is taken whole or not at all. */
  write(bytes: Uint8Array | string): WriteOutcome;
  /** What the host writes; several listeners may be set. */
  onData(call: (bytes: Buffer) => void): void;
  /** Settles once the backlog is empty, or the port is unplugged. */
  drained(): Promise<void>;
  /** Pulls the cable: the host's side is hung up, the path vanishes. A second call does nothing. */
  unplug(): void;
}

/** Enough for 20,000 full lines in one burst; a host that stays away must not make a simulator grow for ever. */
export const PTY_BACKLOG_BYTES = 4 * 1024 * 1024;
/** The kernel gives no notice of room on a master that we also poll for reading, so room is looked for, ever more slowly. */
const RETRY_FIRST_MS = 1;
const RETRY_MOST_MS = 50;
/** struct termios is 60 bytes on Linux and 72 on macOS. */
const TERMIOS_BYTES = 256;
const PATH_BYTES = 128;

interface Library {
  openpt(flags: number): number;
  grantpt(fd: number): number;
  unlockpt(fd: number): number;
  ptsname(fd: number, into: Buffer, bytes: number): number;
  tcgetattr(fd: number, into: Buffer): number;
  tcsetattr(fd: number, when: number, from: Buffer): number;
  cfmakeraw(termios: Buffer): void;
  /** Non-blocking, and not handed on to child processes, in whose hands it would never hang up. */
  setFlags(fd: number): number;
}

let library: Library | undefined;

async function loadLibrary(): Promise<Library> {
  if (process.platform !== 'linux' && process.platform !== 'darwin')
    throw new PtyError(
      'pty-platform',
      `There are no virtual serial ports on ${process.platform}; use the simulated bench over TCP instead.`,
    );
  try {
    const koffi = (await import('koffi')).default;
    // The process itself: whichever C library this Node runs on, under whatever name.
    const libc = koffi.load(null);
    const fcntl = libc.func('int fcntl(int fd, int command, ...)');
    const [F_SETFD, F_GETFL, F_SETFL, FD_CLOEXEC] = [2, 3, 4, 1];
    return {
      openpt: libc.func('int posix_openpt(int flags)'),
      grantpt: libc.func('int grantpt(int fd)'),
      unlockpt: libc.func('int unlockpt(int fd)'),
      ptsname: libc.func('int ptsname_r(int fd, _Out_ uint8_t *into, size_t bytes)'),
      tcgetattr: libc.func('int tcgetattr(int fd, _Out_ uint8_t *into)'),
      tcsetattr: libc.func('int tcsetattr(int fd, int when, uint8_t *from)'),
      cfmakeraw: libc.func('void cfmakeraw(_Inout_ uint8_t *termios)'),
      setFlags(fd) {
        const flags: number = fcntl(fd, F_GETFL, 'int', 0);
        fcntl(fd, F_SETFD, 'int', FD_CLOEXEC);
        return fcntl(fd, F_SETFL, 'int', flags | fs.constants.O_NONBLOCK);
      },
    };
  } catch (cause) {
    throw new PtyError(
      'pty-library',
      'The package koffi could not be loaded, so no virtual serial port can be made; run npm ci without --omit=dev.',
      cause,
    );
  }
}

/** Makes a master and returns it with the path of its other side, raw and without echo from the start. */
function makeMaster(libc: Library): { master: number; path: string } {
  const { O_RDWR, O_NOCTTY } = fs.constants;
  const master = libc.openpt(O_RDWR | O_NOCTTY);
  if (master < 0)
    throw new PtyError('pty-failed', 'The system gives out no more pseudo-terminals (posix_openpt failed).');
  try {
    const name = Buffer.alloc(PATH_BYTES);
    if (libc.grantpt(master) || libc.unlockpt(master) || libc.ptsname(master, name, name.length))
      throw new PtyError('pty-failed', 'The other side of the pseudo-terminal could not be unlocked.');
    if (libc.setFlags(master) < 0)
      throw new PtyError('pty-failed', 'The pseudo-terminal could not be made non-blocking.');
    const termios = Buffer.alloc(TERMIOS_BYTES);
    if (libc.tcgetattr(master, termios) === 0) {
      libc.cfmakeraw(termios);
      libc.tcsetattr(master, 0, termios);
    }
    return { master, path: name.toString('latin1', 0, name.indexOf(0)) };
  } catch (error) {
    fs.closeSync(master);
    throw error;
  }
}

/** Opens a new virtual port. Throws PtyError where there can be none. */
export async function openPty(clock: Clock = systemClock()): Promise<Pty> {
  library ??= await loadLibrary();
  const { master, path } = makeMaster(library);
  // Without a holder the master is hung up each time the host closes the port.
  const { O_RDWR, O_NOCTTY, O_NONBLOCK } = fs.constants;
  const holder = fs.openSync(path, O_RDWR | O_NOCTTY | O_NONBLOCK);
  // For reading only: libuv would make writes through this stream blocking, and a full buffer a dead-lock.
  const reader = new tty.ReadStream(master);
  reader.on('error', () => {});

  const backlog: Buffer[] = [];
  const drainWaiters: (() => void)[] = [];
  let backlogBytes = 0;
  let lostBytes = 0;
  let plugged = true;
  let retryMs = RETRY_FIRST_MS;
  let cancelRetry: Cancel | undefined;

  const settleDrained = (): void => {
    for (const settle of drainWaiters.splice(0)) settle();
  };

  /** How many bytes the kernel took; 0 when it has no room. */
  const offer = (bytes: Buffer): number => {
    try {
      return fs.writeSync(master, bytes);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'EAGAIN') return 0;
      throw error;
    }
  };

  const pump = (): void => {
    cancelRetry = undefined;
    while (backlog.length > 0) {
      const head = backlog[0] as Buffer;
      const taken = offer(head);
      backlogBytes -= taken;
      if (taken > 0) retryMs = RETRY_FIRST_MS;
      if (taken < head.length) {
        backlog[0] = head.subarray(taken);
        cancelRetry = clock.after(retryMs, pump);
        if (taken === 0) retryMs = Math.min(RETRY_MOST_MS, retryMs * 2);
        return;
      }
      backlog.shift();
    }
    settleDrained();
  };

  return {
    path,
    get backlogBytes() {
      return backlogBytes;
    },
    get lostBytes() {
      return lostBytes;
    },
    write(bytes) {
      const copy = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes);
      if (!plugged || backlogBytes + copy.length > PTY_BACKLOG_BYTES) {
        lostBytes += copy.length;
        return 'lost';
      }
      backlog.push(copy);
      backlogBytes += copy.length;
      if (!cancelRetry) pump();
      return backlogBytes === 0 ? 'sent' : 'queued';
    },
    onData(call) {
      reader.on('data', call);
    },
    drained() {
      if (backlogBytes === 0) return Promise.resolve();
      return new Promise((settle) => drainWaiters.push(settle));
    },
    unplug() {
      if (!plugged) return;
      plugged = false;
      cancelRetry?.();
      lostBytes += backlogBytes;
      backlogBytes = 0;
      backlog.length = 0;
      reader.destroy();
      fs.closeSync(holder);
      settleDrained();
    },
  };
}
