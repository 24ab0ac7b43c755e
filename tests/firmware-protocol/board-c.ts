/** Builds the board's C side with the machine's own compiler, as strict as it goes, and calls it in batches. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const HERE = import.meta.dirname;
const BOARD = join(HERE, '../../firmware-protocol/board');

/** Whether a program runs here at all. */
export const hasProgram = (name: string): boolean =>
  spawnSync(name, ['--version'], { stdio: 'ignore' }).status === 0;

/** CI machines promise a compiler; elsewhere its tests are left out, and say so. */
export const hasCompiler = hasProgram('gcc') || process.env['CI'] !== undefined;
if (!hasCompiler)
  console.log('No gcc on this machine: the board’s C side is not compiled, its tests are left out.');

export interface BoardC {
  /** One answer for each call that answers: `end`, `hear`, `crc`, `boot`, `air`, `probe`, `eight`, `grams`. */
  call(rows: readonly string[]): string[];
  remove(): void;
}

export function buildBoardC(): BoardC {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-board-c-'));
  const program = join(folder, 'driver');
  const strict = ['-std=c11', '-pedantic', '-Wall', '-Wextra', '-Wconversion', '-Werror'];
  const watch = ['-fsanitize=address,undefined', '-fno-sanitize-recover=all'];
  const gcc = (...args: string[]): void => void execFileSync('gcc', args, { cwd: folder, stdio: 'pipe' });
  gcc(...strict, ...watch, '-c', join(BOARD, 'ld1.c'), join(BOARD, 'sensors.c'));
  gcc('-std=c11', ...watch, `-I${BOARD}`, join(HERE, 'board-driver.c'), 'ld1.o', 'sensors.o', '-o', program);
  return {
    call(rows) {
      const { status, stdout, stderr } = spawnSync(program, {
        input: `${rows.join('\n')}\n`,
        encoding: 'latin1',
        maxBuffer: 64 * 1024 * 1024,
      });
      if (status !== 0) throw new Error(`The driver ended with ${status}: ${stderr.slice(0, 2000)}`);
      return stdout.split('\n').slice(0, -1);
    },
    remove: () => rmSync(folder, { recursive: true }),
  };
}

export const hexOf = (text: string): string => Buffer.from(text, 'latin1').toString('hex') || '-';
