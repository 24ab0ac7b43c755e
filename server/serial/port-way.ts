/** The way through a serial port, known by its path or by the USB serial number of its board. */
import type { SerialPortStream } from '@serialport/stream';
import type { Connection, Way } from './connection.ts';
import { findBySerialNumber, listPorts, nameFound, type PortListing } from './list-ports.ts';
import { type OpenedPort, openSafePort } from './safe-port.ts';
import { explainPortFailure, SourceError, type Trouble } from './trouble.ts';

/** What a port's way needs of the system; a test hands in its own. */
export interface PortSystem {
  list(): Promise<PortListing>;
  open(path: string, baud: number): Promise<{ stream: SerialPortStream; port: OpenedPort }>;
}

export const realPorts: PortSystem = { list: () => listPorts(), open: openSafePort };

export function wayByPath(path: string, baud: number, system: PortSystem = realPorts): Way {
  return {
    describe: () => `${path} at ${baud} baud`,
    open: () => connectPort(path, baud, system),
    afterEnd: 'reopen',
  };
}

/** Looked up anew at each opening, so that a board is found again under whatever path it comes back. */
export function wayBySerialNumber(serialNumber: string, baud: number, system: PortSystem = realPorts): Way {
  let lastPath: string | null = null;
  return {
    describe: () =>
      lastPath === null
        ? `the board with serial number ${serialNumber}`
        : `the board with serial number ${serialNumber} (${lastPath}) at ${baud} baud`,
    async open() {
      const listing = await system.list();
      const found = findBySerialNumber(listing, serialNumber);
      if (!found)
        throw new SourceError({
          code: 'serial-number-not-found',
          sentence: `No board with serial number ${serialNumber} is plugged in. ${nameFound(listing)}`,
        });
      lastPath = found.path;
      return connectPort(found.path, baud, system);
    },
    afterEnd: 'reopen',
  };
}

async function connectPort(path: string, baud: number, system: PortSystem): Promise<Connection> {
  try {
    const { stream, port } = await system.open(path, baud);
    return joinPort(stream, port, path);
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new SourceError(
      explainPortFailure(words, { path, baud }, await system.list(), process.platform),
      error,
    );
  }
}

/** An open port as a connection. Pulling the cable gives an error, a close, or both in either order: the first counts. */
export function joinPort(stream: SerialPortStream, port: OpenedPort, path: string): Connection {
  const unplugged: Trouble = {
    code: 'unplugged',
    sentence: `${path} is gone: the board was unplugged or its adapter reset. It is opened again as soon as it is back.`,
  };
  let settleEnded: (reason: Trouble | null) => void = () => {};
  const ended = new Promise<Trouble | null>((settle) => {
    settleEnded = settle;
  });
  let finishing: Promise<void> | undefined;
  const finish = (reason: Trouble | null): Promise<void> => {
    // The stream's own close event can come before the handle is given back: this waits for the handle.
    finishing ??= port
      .close()
      .catch(() => {})
      .then(() => {
        // After this the bytes still waiting flow, then end. Closing alone never ends them.
        stream.push(null);
        settleEnded(reason);
      });
    return finishing;
  };
  stream.on('error', () => void finish(unplugged));
  stream.on('close', () => void finish(unplugged));
  return {
    bytes: stream,
    ended,
    // Past the stream, which a failed write would destroy together with the bytes it has not handed on yet.
    write: (text) => void port.write(Buffer.from(text, 'latin1')).catch(() => {}),
    close: () => finish(null),
  };
}
