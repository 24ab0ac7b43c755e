/**
 * Where simulated boards are heard: a real virtual serial port for each, or a loopback TCP port where the platform has
 * none. What the host writes goes back to the board.
 */
import { createServer, type Socket } from 'node:net';
import { openPty, PtyError } from '../../simulators/pty.ts';
import type { SourceConfig } from '../config/bench.ts';

export interface BoardPort {
  /** As a bench file would name it. */
  readonly source: SourceConfig;
  write(bytes: string): void;
  close(): Promise<void>;
}

/** A listener that does not read is dropped at this many bytes: a simulated board does not wait for anyone. */
const SOCKET_BACKLOG_BYTES = 1_000_000;

export type PortKind = 'pty' | 'tcp';

/** `any`: a virtual serial port, or TCP where there are none. Throws PtyError when `pty` was asked for and there are none. */
export async function openBoardPort(
  board: string,
  kind: PortKind | 'any',
  receive: (bytes: string) => void,
): Promise<BoardPort> {
  if (kind !== 'tcp') {
    try {
      const pty = await openPty();
      pty.onData((bytes) => receive(bytes.toString('latin1')));
      return {
        source: { id: board, way: 'port', path: pty.path, baud: 115_200 },
        write: (bytes) => {
          pty.write(bytes);
        },
        close: async () => pty.unplug(),
      };
    } catch (error) {
      if (kind === 'pty' || !(error instanceof PtyError)) throw error;
    }
  }
  const listeners = new Set<Socket>();
  const server = createServer((socket) => {
    listeners.add(socket);
    socket.on('data', (bytes) => receive(bytes.toString('latin1')));
    socket.on('error', () => socket.destroy());
    socket.on('close', () => listeners.delete(socket));
  });
  await new Promise<void>((settle, fail) => {
    server.once('error', fail);
    server.listen(0, '127.0.0.1', settle);
  });
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  return {
    source: { id: board, way: 'tcp', host: '127.0.0.1', port },
    write(bytes) {
      for (const socket of listeners)
        if (socket.writableLength > SOCKET_BACKLOG_BYTES) socket.destroy();
        else socket.write(bytes, 'latin1');
    },
    close: () =>
      new Promise((settle) => {
        for (const socket of listeners) socket.destroy();
        server.close(() => settle());
      }),
  };
}
