/** Where the program keeps its files, by the platform's own custom. */
import { join } from 'node:path';

export interface Surroundings {
  readonly platform: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly home: string;
}

/** The user data folder: `LOWDEW_DATA` before all, then the platform's. */
export function dataFolder({ platform, env, home }: Surroundings): string {
  if (env['LOWDEW_DATA']) return env['LOWDEW_DATA'];
  if (platform === 'win32') return join(env['LOCALAPPDATA'] ?? join(home, 'AppData', 'Local'), 'lowdew');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'lowdew');
  return join(env['XDG_DATA_HOME'] ?? join(home, '.local', 'share'), 'lowdew');
}

/** The bench file read when none is named. */
export const usualBenchFile = (folder: string): string => join(folder, 'bench.toml');
