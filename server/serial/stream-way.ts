/** The ways through a TCP connection (a serial bridge, a simulator) and through standard input. */
import { connect, type Socket } from 'node:net';
import { PassThrough, type Readable } from 'node:stream';
import type { Clock } from '../clock.ts';
import type { Connection, Way } from './connection.ts';
import { explainTcpFailure, SourceError, type Trouble } from './trouble.ts';

/** A host that is switched off does not refuse, it is silent; the system alone would wait two minutes. */
export const TCP_PATIENCE_MS = 10_000;

export function wayByTcp(host: string, port: number, clock: Clock, dial: typeof connect = connect): Way {
  return {
    describe: () => `${host}:${port} over TCP`,
    open: (signal) =>
      new Promise((settle, fail) => {
        const socket = dial({ host, port });
        const giveUp = (code: string | undefined): void => {
          cancelPatience();
          signal.removeEventListener('abort', onAbort);
          socket.destroy();
          fail(new SourceError(explainTcpFailure(code, host, port)));
        };
        const cancelPatience = clock.after(TCP_PATIENCE_MS, () => giveUp('ETIMEDOUT'));
        const onAbort = (): void => giveUp('ECANCELED');
        signal.addEventListener('abort', onAbort, { once: true });
        const onError = (error: NodeJS.ErrnoException): void => giveUp(error.code);
        socket.once('error', onError);
        socket.once('connect', () => {
          cancelPatience();
          signal.removeEventListener('abort', onAbort);
          socket.off('error', onError);
          settle(joinSocket(socket, `${host}:${port}`));
        });
      }),
    afterEnd: 'reopen',
  };
}

function joinSocket(socket: Socket, where: string): Connection {
  const peerClosed: Trouble = {
    code: 'peer-closed',
    sentence: `${where} closed the connection. It is opened again as soon as something listens there.`,
  };
  let closedByUs = false;
  const bytes = new PassThrough();
  socket.pipe(bytes);
  // An error is always followed by a close, and only the close says that the handle is given back.
  socket.on('error', () => {});
  const closed = new Promise<void>((settle) => {
    socket.once('close', () => {
      bytes.end();
      settle();
    });
  });
  return {
    bytes,
    ended: closed.then(() => (closedByUs ? null : peerClosed)),
    write: (text) => void socket.write(text, 'latin1'),
    close() {
      closedByUs = true;
      socket.destroy();
      return closed;
    },
  };
}

/** There is one standard input, and its end is the end of the source. */
export function wayByInput(input: Readable): Way {
  return {
    describe: () => 'standard input',
    open: () => Promise.resolve(joinInput(input)),
    afterEnd: 'finish',
  };
}

function joinInput(input: Readable): Connection {
  const bytes = new PassThrough();
  let settleEnded: (reason: Trouble | null) => void = () => {};
  const ended = new Promise<Trouble | null>((settle) => {
    settleEnded = settle;
  });
  const finish = (reason: Trouble | null): void => {
    input.unpipe(bytes);
    bytes.end();
    settleEnded(reason);
  };
  const onError = (error: Error): void =>
    finish({ code: 'input-failed', sentence: `Standard input broke off: ${error.message}.` });
  const onEnd = (): void => finish(null);
  input.once('error', onError);
  input.once('end', onEnd);
  input.pipe(bytes, { end: false });
  return {
    bytes,
    ended,
    write: () => {},
    async close() {
      input.off('error', onError);
      input.off('end', onEnd);
      // Not destroyed: a bench that begins anew opens it again. Whoever ends the program destroys it.
      finish(null);
    },
  };
}
