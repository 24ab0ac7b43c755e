/** The whole program on one simulated bench: memory after 24 hours of the story. */
import { type ChildProcess, spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Measured } from './rounds.ts';

const HOURS = 24;
/** Fast enough to be done in two minutes, slow enough that the collector of garbage keeps the pace it has in life. */
const SPEED = 720;

/** Resident set of a process, MB (proc(5): VmRSS in kB). */
const rssMb = (pid: number): number =>
  Number(/VmRSS:\s+([0-9]+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1000;

export async function measureServer(): Promise<readonly Measured[]> {
  if (process.platform !== 'linux') return [];
  const program = fileURLToPath(new URL('../lowdew.mjs', import.meta.url));
  const child: ChildProcess = spawn(
    process.execPath,
    [
      program,
      'run',
      '--simulate',
      'gear-overnight',
      '--past',
      '0',
      '--speed',
      String(SPEED),
      '--listen',
      '127.0.0.1:0',
      '--log',
      'error',
    ],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  try {
    const url = await new Promise<string>((settle, fail) => {
      child.stdout?.on('data', (bytes) => {
        const match = /The page: (\S+)/.exec(String(bytes));
        if (match) settle(match[1] as string);
      });
      child.once('exit', () => fail(new Error('the program ended')));
    });
    const storyMs = async (): Promise<number> =>
      ((await (await fetch(`${url}/api/bench`)).json()) as { atMs: number }).atMs;
    const startMs = await storyMs();
    let halfway = 0;
    for (;;) {
      const passedH = ((await storyMs()) - startMs) / 3_600_000;
      if (halfway === 0 && passedH >= HOURS / 2) halfway = rssMb(child.pid as number);
      if (passedH >= HOURS) break;
      await new Promise((settle) => setTimeout(settle, 500));
    }
    const end = rssMb(child.pid as number);
    return [
      {
        name: `memory of the whole server after ${HOURS} simulated hours`,
        value: end,
        unit: 'MB',
        yardstick: 'its own half-way mark',
        ratio: end / halfway,
        aim: '≤ 120 MB, flat',
        met: end <= 120 && end / halfway < 1.15,
      },
    ];
  } finally {
    child.kill('SIGTERM');
  }
}
