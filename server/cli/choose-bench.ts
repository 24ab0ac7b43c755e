/** Which bench a run is about: the one named, the one in the data folder, or a simulated one. */
import { existsSync } from 'node:fs';
import type { BenchConfig } from '../config/bench.ts';
import { dataFolder, type Surroundings, usualBenchFile } from '../config/folders.ts';
import { readBenchFile } from './read-bench-file.ts';
import type { Terminal } from './terminal.ts';

export type Chosen =
  | { readonly kind: 'file'; readonly bench: BenchConfig }
  | { readonly kind: 'simulated' }
  | { readonly kind: 'mistaken' };

export async function chooseBench(
  named: string | undefined,
  scenario: string | undefined,
  surroundings: Surroundings,
  terminal: Terminal,
): Promise<Chosen> {
  if (scenario !== undefined) return { kind: 'simulated' };
  const usual = usualBenchFile(dataFolder(surroundings));
  const path = named ?? surroundings.env['LOWDEW_BENCH'] ?? (existsSync(usual) ? usual : undefined);
  if (path === undefined) return { kind: 'simulated' };
  const bench = await readBenchFile(path, terminal);
  return bench ? { kind: 'file', bench } : { kind: 'mistaken' };
}
