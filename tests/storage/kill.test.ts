import { once } from 'node:events';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { open, ownFolder } from './bench-folder.ts';
import { startChild } from './child.ts';
import { START_MS } from './times.ts';

interface Acknowledged {
  readonly readings: number;
  readonly entry: number;
}

/** Starts a writer, lets it acknowledge some batches, and kills it at an instant of the caller's choosing. */
async function writeAndKill(folder: string, first: number, batches: number, moreMs: number) {
  const child = await startChild('write', folder, String(first));
  let last: Acknowledged | null = null;
  let seen = 0;
  for await (const line of child.lines) {
    const said = JSON.parse(line) as Acknowledged & { note?: string };
    // A note would say that a file was found damaged.
    if (said.note) throw new Error(said.note);
    last = said;
    if (++seen === batches) setTimeout(() => child.kill('SIGKILL'), moreMs);
  }
  if (child.exitCode === null && child.signalCode === null) await once(child, 'exit');
  expect(child.signalCode).toBe('SIGKILL');
  if (!last) throw new Error('nothing was acknowledged');
  return last;
}

/** Looks with bare SQLite: every acknowledged reading and entry, with its value, and sound files. */
function lookFor(folder: string, { readings, entry }: Acknowledged): number {
  const history = open(join(folder, 'history.sqlite'));
  const [found] = history
    .prepare(
      `SELECT count(*) AS n, max(value) AS last, sum(value <> (at_ms - ${START_MS}) / 100) AS wrong,
         sum(value < ${readings}) AS acknowledged FROM raw`,
    )
    .all();
  expect(found).toMatchObject({ wrong: 0, acknowledged: readings });
  expect(history.prepare('PRAGMA integrity_check').get()?.['integrity_check']).toBe('ok');
  history.close();
  const state = open(join(folder, 'state.sqlite'));
  const entered = state.prepare('SELECT count(*) AS n FROM entry WHERE number <= ?').get(entry);
  expect(entered?.['n']).toBe(entry);
  expect(state.prepare('PRAGMA integrity_check').get()?.['integrity_check']).toBe('ok');
  state.close();
  return Number(found?.['last']) + 1;
}

/** Numerical Recipes' quick generator (a 1664525, c 1013904223, m 2^32): instants differ, and do so alike each time. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

test('killed fifty times while writing, everything acknowledged is there and the files open clean', async () => {
  // Two writers at a time, each on its own folder, killed and started again on it twenty-five times.
  await Promise.all(
    [1, 2].map(async (seed) => {
      const folder = ownFolder();
      const random = seeded(seed);
      let next = 0;
      for (let round = 0; round < 25; round++) {
        const acknowledged = await writeAndKill(folder, next, 1 + Math.floor(random() * 4), random() * 8);
        expect(acknowledged.readings).toBeGreaterThan(next);
        next = lookFor(folder, acknowledged);
      }
      expect(next).toBeGreaterThan(25 * 50);
    }),
  );
}, 60_000);
