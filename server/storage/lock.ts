/** One lowdew to a data folder: two would each count the other's readings as missed and write over its trackers. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { StorageError } from './errors.ts';
import type { Database, OpenDatabase } from './sqlite.ts';

export interface Lock {
  release(): void;
}

/**
 * Throws StorageError `busy` while another process holds the folder. The lock is the system's own, held through an
 * open transaction of a file of its own: it goes with its process, so that a power cut leaves nothing to be taken for a
 * running program, as a noted process number would. A folder that cannot be written is not locked: nothing can be kept
 * there anyway, and its stores say so.
 */
export function takeLock(open: OpenDatabase, folder: string): Lock {
  let db: Database | null = null;
  try {
    mkdirSync(folder, { recursive: true });
    db = open(join(folder, 'lock.sqlite'));
    db.exec('BEGIN EXCLUSIVE');
    const held = db;
    return { release: () => held.close() };
  } catch (error) {
    db?.close();
    if (error instanceof StorageError && error.code === 'busy')
      throw new StorageError('busy', `The data folder ${folder} is in use by another lowdew`, error);
    return { release: () => {} };
  }
}
