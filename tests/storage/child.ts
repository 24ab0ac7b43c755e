/** Bundles and starts a process of its own, for what can only be seen from outside: being killed, not being root. */
import { type ChildProcess, spawn } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { build } from 'esbuild';
import { afterAll } from 'vitest';

const ROOT = join(import.meta.dirname, '../..');
/** Inside the project, so that packages with native parts are found from there. */
const BUNDLE = join(ROOT, 'tests/.out', `storage-child-${process.pid}.mjs`);
let built: Promise<unknown> | null = null;
afterAll(() => rmSync(BUNDLE, { force: true }));

export async function startChild(
  ...args: string[]
): Promise<ChildProcess & { lines: AsyncIterable<string> }> {
  built ??= build({
    entryPoints: [join(ROOT, 'tests/storage/child-main.ts')],
    outfile: BUNDLE,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    external: ['@photostructure/sqlite'],
    logLevel: 'warning',
  });
  await built;
  const child = spawn(process.execPath, [BUNDLE, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  return Object.assign(child, { lines: createInterface({ input: child.stdout }) });
}

/** All lines of a child that ends by itself. */
export async function runChild(...args: string[]): Promise<string[]> {
  const child = await startChild(...args);
  const lines: string[] = [];
  for await (const line of child.lines) lines.push(line);
  return lines;
}
