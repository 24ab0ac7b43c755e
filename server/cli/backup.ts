/** `lowdew backup`: a whole copy of state, history and alarms, made beside a running program. */
import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { backupStore } from '../storage/backup.ts';
import { StorageError } from '../storage/errors.ts';
import { loadDatabaseEngine } from '../storage/sqlite.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

const STORES = ['state.sqlite', 'history.sqlite', 'alerts.sqlite'] as const;

export async function backupCommand(
  dataDir: string,
  toFolder: string,
  terminal: Terminal,
): Promise<ExitCode> {
  const open = await loadDatabaseEngine();
  const present = STORES.filter((name) => existsSync(join(dataDir, name)));
  if (present.length === 0) {
    terminal.err(`There is nothing to back up in ${dataDir}. Name another data folder with --data.`);
    return EXIT.dataFolder;
  }
  try {
    mkdirSync(toFolder, { recursive: true });
    for (const name of present) {
      await backupStore(open, join(dataDir, name), join(toFolder, name));
      terminal.out(`${join(toFolder, name)}`);
    }
    return EXIT.fine;
  } catch (error) {
    const known = error instanceof StorageError || (error as NodeJS.ErrnoException).code !== undefined;
    if (!known) throw error;
    terminal.err(`The backup failed: ${(error as Error).message}`);
    return EXIT.dataFolder;
  }
}
