/** The one error class of this room. A broken world is thrown as one of these; bad input never is. */

/**
 * - `data-folder`: the data folder cannot be made, entered or read
 * - `disk-full`, `read-only`, `io-failed`: it cannot be written just now
 * - `damaged`: a file is not what we wrote
 * - `newer-file`: written by a later version
 * - `busy`: another process holds the file
 * - `backup-exists`: a backup never overwrites
 * - `closed`: used after closing
 * - `store-failed`: anything else that SQLite says
 */
export type StorageCode =
  | 'data-folder'
  | 'disk-full'
  | 'read-only'
  | 'io-failed'
  | 'damaged'
  | 'newer-file'
  | 'busy'
  | 'backup-exists'
  | 'closed'
  | 'store-failed';

export class StorageError extends Error {
  readonly code: StorageCode;

  constructor(code: StorageCode, message: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'StorageError';
    this.code = code;
  }
}

/** Codes in which the world may mend by itself: keep what is to be written, and try again later. */
const PASSING: ReadonlySet<StorageCode> = new Set(['disk-full', 'read-only', 'io-failed', 'busy']);

export const mayPass = (error: unknown): error is StorageError =>
  error instanceof StorageError && PASSING.has(error.code);

export const isDamage = (error: unknown): boolean =>
  error instanceof StorageError && error.code === 'damaged';
