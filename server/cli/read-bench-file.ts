/** Reads a bench file from disk for any command; mistakes are printed all at once. */
import { readFile } from 'node:fs/promises';
import type { BenchConfig } from '../config/bench.ts';
import { describeMistake, readBench } from '../config/read-bench.ts';
import { MATERIAL_KEYS } from '../physics/materials.ts';
import { THINGS } from '../physics/things.ts';
import type { Terminal } from './terminal.ts';

/** The checked bench, or null after saying what is wrong. */
export async function readBenchFile(
  path: string,
  terminal: Terminal,
  /** What else can be done where the file is not there, beside naming another. */
  without = '',
): Promise<BenchConfig | null> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    terminal.err(
      code === 'ENOENT'
        ? `The bench file ${path} does not exist. Name another with --bench${without}.`
        : code === 'EISDIR'
          ? `${path} is a folder; name the bench file in it with --bench.`
          : `The bench file ${path} cannot be read (${code ?? String(error)}). Check its permissions.`,
    );
    return null;
  }
  const reading = readBench(text, path, { materials: MATERIAL_KEYS, things: Object.keys(THINGS) });
  if (reading.ok) return reading.bench;
  for (const mistake of reading.mistakes) terminal.err(describeMistake(path, mistake));
  const count = reading.mistakes.length;
  terminal.err(`${count} mistake${count === 1 ? '' : 's'} in the bench file; mend them and try again.`);
  return null;
}
