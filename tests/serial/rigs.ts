/** Boards to hang a link on: a real virtual port, and a TCP peer, behind the same few members. */
import { mkdtemp, rm, symlink } from 'node:fs/promises';
import { createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Clock, systemClock } from '../../server/clock.ts';
import type { Way } from '../../server/serial/connection.ts';
import type { LinkState, SourceLine } from '../../server/serial/link.ts';
import { type PortSystem, realPorts, wayByPath } from '../../server/serial/port-way.ts';
import { wayByTcp } from '../../server/serial/stream-way.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';

export const DEADLINE_MS = 8000;

/** Rejects with `what` when `wait` takes too long. */
export async function within<T>(wait: Promise<T>, what: string, deadlineMs = DEADLINE_MS): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, fail) => {
    timer = setTimeout(() => fail(new Error(`Waited in vain for ${what}`)), deadlineMs);
  });
  return Promise.race([wait, late]).finally(() => clearTimeout(timer));
}

/** Something that happens; whoever waits for a condition has it looked at each time. */
export class Happenings {
  readonly #waiters = new Set<() => void>();

  happen(): void {
    for (const look of [...this.#waiters]) look();
  }

  until(isSo: () => boolean, what: string, deadlineMs = DEADLINE_MS): Promise<void> {
    let look: () => void = () => {};
    const wait = new Promise<void>((settle) => {
      look = () => {
        if (isSo()) settle();
      };
      this.#waiters.add(look);
      look();
    });
    return within(wait, what, deadlineMs).finally(() => this.#waiters.delete(look));
  }
}

/** Takes what a link gives out. */
export class Taker extends Happenings {
  readonly lines: SourceLine[] = [];
  readonly states: LinkState[] = [];

  readonly onLine = (line: SourceLine): void => {
    this.lines.push(line);
    this.happen();
  };

  readonly onState = (state: LinkState): void => {
    this.states.push(state);
    this.happen();
  };

  get state(): LinkState['state'] | undefined {
    return this.states.at(-1)?.state;
  }

  get trouble(): LinkState['trouble'] {
    return this.states.at(-1)?.trouble ?? null;
  }

  texts(): string[] {
    return this.lines.map((line) => line.text);
  }
}

export interface Rig {
  readonly name: string;
  readonly way: Way;
  /** All that the host sent, and a wait for more of it. */
  readonly sent: { text: string };
  readonly happenings: Happenings;
  write(bytes: Uint8Array | string): void;
  pull(): Promise<void>;
  plug(): Promise<void>;
  end(): Promise<void>;
}

/** A virtual port under a lasting name, as /dev/serial/by-id has them; each plugging makes a new port. */
export async function ptyRig(ports: PortSystem = realPorts): Promise<Rig & { path: string; pty(): Pty }> {
  const folder = await mkdtemp(join(tmpdir(), 'lowdew-port-'));
  const path = join(folder, 'board');
  const sent = { text: '' };
  const happenings = new Happenings();
  let pty: Pty | undefined;
  const rig = {
    name: 'pty',
    path,
    pty: () => pty as Pty,
    way: wayByPath(path, 115_200, ports),
    sent,
    happenings,
    write: (bytes: Uint8Array | string) => void pty?.write(bytes),
    async pull() {
      await rm(path, { force: true });
      pty?.unplug();
      pty = undefined;
    },
    async plug() {
      pty = await openPty();
      pty.onData((bytes) => {
        sent.text += bytes.toString('latin1');
        happenings.happen();
      });
      await symlink(pty.path, path);
    },
    async end() {
      await rig.pull();
      await rm(folder, { recursive: true });
    },
  };
  await rig.plug();
  return rig;
}

export async function tcpRig(clock: Clock = systemClock()): Promise<Rig> {
  const sent = { text: '' };
  const happenings = new Happenings();
  const sockets = new Set<Socket>();
  let server: Server | undefined;
  let port = 0;
  const rig = {
    name: 'tcp',
    sent,
    happenings,
    write(bytes: Uint8Array | string) {
      for (const socket of sockets) socket.write(bytes as string, 'latin1');
    },
    async pull() {
      const old = server;
      server = undefined;
      const closed = new Promise((settle) => old?.close(settle) ?? settle(undefined));
      for (const socket of sockets) socket.destroy();
      await closed;
    },
    async plug() {
      server = createServer((socket) => {
        sockets.add(socket);
        socket.on('error', () => {});
        socket.on('close', () => sockets.delete(socket));
        socket.on('data', (bytes) => {
          sent.text += bytes.toString('latin1');
          happenings.happen();
        });
      });
      await new Promise<void>((settle) => server?.listen(port, '127.0.0.1', settle));
      port = (server.address() as { port: number }).port;
    },
    end: () => rig.pull(),
  };
  await rig.plug();
  return { ...rig, way: wayByTcp('127.0.0.1', port, clock) };
}
