/** The built program as a child process, spoken to as a person does. */
import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const PROGRAM = fileURLToPath(new URL('../../dist/lowdew.mjs', import.meta.url));
const PATIENCE_MS = 40_000;

export interface Program {
  readonly child: ChildProcessWithoutNullStreams;
  out(): string;
  err(): string;
  /** Settles with the match once standard output or error holds it. */
  says(pattern: RegExp): Promise<RegExpExecArray>;
  /** Settles with the exit code; null when it was killed. */
  ended(): Promise<number | null>;
}

export function startProgram(args: readonly string[], env: Record<string, string> = {}): Program {
  const child = spawn(process.execPath, [PROGRAM, ...args], { env: { ...process.env, ...env } });
  let out = '';
  let err = '';
  const listeners = new Set<() => void>();
  const hear = (): void => {
    for (const listener of listeners) listener();
  };
  child.stdout.on('data', (bytes) => {
    out += bytes;
    hear();
  });
  child.stderr.on('data', (bytes) => {
    err += bytes;
    hear();
  });
  let code: number | null = null;
  let isOver = false;
  child.on('close', (exitCode) => {
    code = exitCode;
    isOver = true;
    hear();
  });
  const until = <T>(what: string, find: () => T | null): Promise<T> =>
    new Promise((settle, fail) => {
      const deadline = setTimeout(() => {
        listeners.delete(look);
        fail(new Error(`waited in vain for ${what}; it said:\n${out}\n${err}`));
      }, PATIENCE_MS);
      const look = (): void => {
        const found = find();
        if (found === null) return;
        clearTimeout(deadline);
        listeners.delete(look);
        settle(found);
      };
      listeners.add(look);
      look();
    });
  return {
    child,
    out: () => out,
    err: () => err,
    says: (pattern) => until(String(pattern), () => pattern.exec(out) ?? pattern.exec(err)),
    ended: async () => (await until('its end', () => (isOver ? { code } : null))).code,
  };
}
