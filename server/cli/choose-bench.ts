/** Which bench a run is about: the one named, the one in the data folder, or a simulated one. */
import { existsSync } from 'node:fs';
import type { BenchConfig } from '../config/bench.ts';
import { type Surroundings, usualBenchFile } from '../config/folders.ts';
import { readBenchFile } from './read-bench-file.ts';
import type { Terminal } from './terminal.ts';

export type Chosen =
  | { readonly kind: 'file'; readonly bench: BenchConfig }
  | { readonly kind: 'simulated' }
  | { readonly kind: 'mistaken' };

export async function chooseBench(
  named: string | undefined,
  scenario: string | undefined,
  /** Data folder, where the usual bench file lies. */
  folder: string,
  env: Surroundings['env'],
  terminal: Terminal,
  /** What happens where none is named, as a command has it. */
  without: string,
): Promise<Chosen> {
  if (scenario !== undefined) return { kind: 'simulated' };
  const usual = usualBenchFile(folder);
  const path = named ?? (env['LOWDEW_BENCH'] || undefined) ?? (existsSync(usual) ? usual : undefined);
  if (path === undefined) return { kind: 'simulated' };
  const bench = await readBenchFile(
    path,
    terminal,
    named === undefined ? '' : `, or leave it out: ${without}`,
  );
  return bench ? { kind: 'file', bench } : { kind: 'mistaken' };
}
