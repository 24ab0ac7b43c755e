/** The seam between a link and whatever the bytes come through; the link knows no more of a port than this. */
import type { Readable } from 'node:stream';
import type { Trouble } from './trouble.ts';

/** One opened port, socket or input. Ends once, however many events say so. */
export interface Connection {
  /** Ends after the last byte that was read, also when the cable was pulled. */
  readonly bytes: Readable;
  /** Settles when the connection is over and its handle is given back; null: because close() was called. */
  readonly ended: Promise<Trouble | null>;
  /** Best effort: a failed write shows as the connection's end or as silence, never as a throw. */
  write(text: string): void;
  /** Settles once the handle is given back, so that the same port may be opened again. A second call does no more. */
  close(): Promise<void>;
}

/** A way to a board, whether or not it can be opened now. */
export interface Way {
  /** For a person: "/dev/ttyUSB0 at 115200 baud". */
  describe(): string;
  /** Throws SourceError. An abort while it waits makes it throw too. */
  open(signal: AbortSignal): Promise<Connection>;
  /** `finish`: its end is the end of the matter, as with standard input. */
  readonly afterEnd: 'reopen' | 'finish';
}
