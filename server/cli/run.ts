/** `lowdew run`: joins boards, judgement, history and page, and keeps them going until told to stop. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { isAbsolute, join, resolve } from 'node:path';
import { ServeError } from '../api/errors.ts';
import type { BenchConfig } from '../config/bench.ts';
import { StorageError } from '../storage/errors.ts';
import { type RunCommand, type RunEnd, serveRun } from './serve-run.ts';
import { openSimulatedRun } from './simulated-run.ts';
import { EXIT, type Terminal } from './terminal.ts';

export async function runCommand(command: RunCommand, terminal: Terminal): Promise<RunEnd> {
  const simulated = command.scenario ? await openSimulatedRun(command.scenario) : null;
  const described = simulated?.bench ?? command.bench;
  if (!described) throw new Error('neither a bench nor a scenario was given');
  // Invented readings never mix with real ones: a simulated bench has a folder of its own that goes with it.
  const folder = simulated
    ? mkdtempSync(join(tmpdir(), 'lowdew-simulated-'))
    : dataDirOf(described, command.dataDir);
  try {
    return await serveRun(command, terminal, simulated, described, folder);
  } catch (error) {
    if (error instanceof StorageError) {
      terminal.err(`${error.message}. Name another data folder with --data or data_dir.`);
      return EXIT.dataFolder;
    }
    if (error instanceof ServeError) {
      terminal.err(error.message);
      return EXIT.listen;
    }
    throw error;
  } finally {
    await simulated?.close();
    if (simulated) rmSync(folder, { recursive: true, force: true });
  }
}

/** The bench file's own data folder, else the one given. */
export function dataDirOf(bench: BenchConfig, otherwise: string): string {
  if (bench.dataDir === null) return otherwise;
  // A relative folder is meant from where the bench file lies.
  return isAbsolute(bench.dataDir) ? bench.dataDir : resolve(bench.file ?? '.', '..', bench.dataDir);
}
