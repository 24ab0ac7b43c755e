/** Copies a store while lowdew runs, from this process or another; never over an existing file. */
import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { StorageError } from './errors.ts';
import type { OpenDatabase } from './sqlite.ts';

/** The copy appears under its name only when it is whole. What is not flushed yet is not in it. */
export async function backupStore(open: OpenDatabase, fromPath: string, toPath: string): Promise<void> {
  if (!existsSync(fromPath)) throw new StorageError('data-folder', `There is no ${fromPath} to back up`);
  if (existsSync(toPath))
    throw new StorageError(
      'backup-exists',
      `${toPath} exists already: move it away, or choose another folder`,
    );
  const unfinished = `${toPath}.part`;
  try {
    mkdirSync(dirname(toPath), { recursive: true });
  } catch (cause) {
    throw new StorageError(
      'data-folder',
      `${dirname(toPath)} cannot be made (${(cause as Error).message})`,
      cause,
    );
  }
  // A connection of its own, so that the running one is never held up.
  const db = open(fromPath, 'read-only');
  try {
    await db.backupTo(unfinished);
    renameSync(unfinished, toPath);
  } finally {
    db.close();
    rmSync(unfinished, { force: true });
  }
}
