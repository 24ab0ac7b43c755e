/**
 * The system's serial ports through the usual binding, with our own read on Linux and macOS.
 *
 * The stock read asks again at once when it is given 0 bytes, and a terminal that hung up gives 0 bytes for ever: one
 * core at 100 %, no close event, the port still open by its own account (serialport/bindings-cpp issue 162).
 */
import { read } from 'node:fs';
import { promisify } from 'node:util';
import type { DarwinPortBinding, LinuxPortBinding } from '@serialport/bindings-cpp';
import { SerialPortStream } from '@serialport/stream';

type UnixPort = LinuxPortBinding | DarwinPortBinding;
/** fs.read, as far as it is needed; a test listens in here. */
export type ReadFd = (fd: number, into: Buffer, offset: number, length: number) => Promise<number>;

const readAsync = promisify(read);
const systemRead: ReadFd = async (fd, into, offset, length) =>
  (await readAsync(fd, into, offset, length, null)).bytesRead;

/** The stream takes an error with this mark for the echo of its own closing, any other for a pulled cable. */
const canceled = (): Error => Object.assign(new Error('The port is not open'), { canceled: true });

const becomesReadable = (port: UnixPort): Promise<void> =>
  new Promise((settle, fail) => {
    port.poller.once('readable', (error) => (error ? fail(error) : settle()));
  });

/** Puts our read, and a close that waits for it, in place of the stock ones. */
function guardUnixPort(port: UnixPort, readFd: ReadFd): void {
  let reading: Promise<unknown> = Promise.resolve();
  let closing: Promise<void> | undefined;
  const stockClose = port.close.bind(port);

  port.read = async (buffer: Buffer, offset: number, length: number) => {
    for (;;) {
      const { fd } = port;
      if (closing || fd === null) throw canceled();
      try {
        const readNow = readFd(fd, buffer, offset, length);
        reading = readNow;
        const bytesRead = await readNow;
        // Also while closing: what was read is kept.
        if (bytesRead > 0) return { bytesRead, buffer };
        throw Object.assign(new Error('The port hung up'), { code: 'EIO', disconnect: true });
      } catch (error) {
        if (closing) throw canceled();
        const { code } = error as NodeJS.ErrnoException;
        if (code !== 'EAGAIN' && code !== 'EINTR') throw error;
        await becomesReadable(port);
      }
    }
  };

  // Were the descriptor closed under a read, its number might by then belong to the port opened next.
  port.close = () => {
    closing ??= reading.then(stockClose, stockClose);
    return closing;
  };
}

/** On Windows the stock port serves; closing it twice must still be one closing. */
function guardOtherPort(port: OpenedPort): void {
  const stockClose = port.close.bind(port);
  let closing: Promise<void> | undefined;
  port.close = () => {
    closing ??= stockClose();
    return closing;
  };
}

/** What is used of the binding's own port. (Its published types do not resolve, so they are said again here.) */
export interface OpenedPort {
  close(): Promise<void>;
  write(bytes: Buffer): Promise<void>;
}

interface OpenOptions {
  readonly path: string;
  readonly baudRate: number;
}

async function openGuarded(options: OpenOptions, readFd: ReadFd): Promise<OpenedPort> {
  // Loaded when first needed: where it has no binary, a bench without serial ports still runs.
  const { DarwinBinding, LinuxBinding, WindowsBinding } = await import('@serialport/bindings-cpp');
  if (process.platform === 'win32') {
    const port: OpenedPort = await WindowsBinding.open(options);
    guardOtherPort(port);
    return port;
  }
  const port: UnixPort = await (process.platform === 'darwin' ? DarwinBinding : LinuxBinding).open(options);
  guardUnixPort(port, readFd);
  return port;
}

/** A port and its stream, already open. Rejects with the binding's error, whose words tell the reason. */
export async function openSafePort(
  path: string,
  baud: number,
  readFd: ReadFd = systemRead,
): Promise<{ stream: SerialPortStream; port: OpenedPort }> {
  let opened: OpenedPort | undefined;
  const binding = {
    list: () => Promise.resolve([]),
    async open(options: OpenOptions): Promise<OpenedPort> {
      opened = await openGuarded(options, readFd);
      return opened;
    },
  };
  const stream = new SerialPortStream({ binding, path, baudRate: baud, autoOpen: false });
  await new Promise<void>((settle, fail) => stream.open((error) => (error ? fail(error) : settle())));
  if (!opened) throw new Error('The port was reported open without having been opened');
  return { stream, port: opened };
}
