/** One lowdew to a data folder: two would each count the other's readings as missed and write over its trackers. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { StorageError } from './errors.ts';

export interface Lock {
  release(): void;
}

const lives = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // It lives, and belongs to somebody else.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
};

/**
 * Throws StorageError `busy` while another process that lives holds the folder. A lock left by one that was killed is
 * taken over. A folder that cannot be written is not locked: nothing can be kept there anyway, and its store says so.
 */
export function takeLock(folder: string): Lock {
  const path = join(folder, 'lock');
  for (let tries = 0; tries < 2; tries++) {
    try {
      mkdirSync(folder, { recursive: true });
      writeFileSync(path, `${process.pid}\n`, { flag: 'wx' });
      return { release: () => rmSync(path, { force: true }) };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') return { release: () => {} };
      let holder = Number.NaN;
      try {
        holder = Number(readFileSync(path, 'utf8').trim());
      } catch {
        // The folder itself is a file: the stores say so better.
        return { release: () => {} };
      }
      if (Number.isInteger(holder) && holder > 0 && holder !== process.pid && lives(holder))
        throw new StorageError(
          'busy',
          `The data folder ${folder} is in use by another lowdew (process ${holder})`,
        );
      rmSync(path, { force: true });
    }
  }
  return { release: () => {} };
}
