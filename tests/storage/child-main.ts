/** What the storage tests' own processes do. */
import { chmodSync, chownSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { falseClock, systemClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { openState } from '../../server/storage/state.ts';
import { START_MS } from './times.ts';

const [mode, folder = '', first = '0'] = process.argv.slice(2);
const open = await loadDatabaseEngine();
const path = join(folder, 'history.sqlite');
const statePath = join(folder, 'state.sqlite');
const say = (what: unknown): void => {
  writeSync(1, `${JSON.stringify(what)}\n`);
};

/** Writes without end; says the number of the last reading and the last entry that were acknowledged. */
function writeForEver(first: number): void {
  const history = openHistory({ open, path, clock: systemClock(), onNote: (note) => say({ note }) });
  const state = openState({ open, path: statePath, clock: systemClock(), onNote: (note) => say({ note }) });
  let next = first;
  const step = (): void => {
    for (let n = 0; n < 50; n++, next++)
      history.add({ station: 'box', key: 't', atMs: START_MS + next * 100, value: next, flagged: false });
    const outcome = history.flush();
    const entry = state.enter(START_MS, 'weigh-in', { last: next });
    if (outcome === 'kept') say({ readings: next, entry });
    setImmediate(step);
  };
  step();
}

/** The user id of nobody on most systems; any but root's will do. */
const NOBODY = 65_534;

function readOnlyFolder(): void {
  const clock = falseClock(START_MS);
  if (process.getuid?.() === 0) {
    chownSync(folder, NOBODY, NOBODY);
    process.setgid?.(NOBODY);
    process.setuid?.(NOBODY);
  }
  chmodSync(folder, 0o555);
  const history = openHistory({ open, path, clock });
  const state = openState({ open, path: statePath, clock });
  const reading = () =>
    history.read({ station: 'box', keys: ['t'], fromMs: START_MS, toMs: START_MS + 1, buckets: 9 }).series[
      't'
    ]?.mean;
  const put = (): string => {
    try {
      state.put('spool', 'gear', { netMassG: 1000 });
      return 'taken';
    } catch (error) {
      return String((error as { code?: string }).code);
    }
  };
  const spools = () => state.all('spool').map(({ id }) => id);
  history.add({ station: 'box', key: 't', atMs: START_MS, value: 20.5, flagged: false });
  clock.advance(5000);
  const trouble = history.trouble();
  say({ opened: trouble?.code, sentence: trouble?.sentence, live: reading() });
  say({ state: put(), spools: spools() });
  chmodSync(folder, 0o755);
  clock.advance(60_000);
  say({ trouble: history.trouble(), kept: history.counts().kept, read: reading() });
  say({ state: put(), spools: spools() });
  history.close();
  state.close();
}

if (mode === 'write') writeForEver(Number(first));
else if (mode === 'read-only') readOnlyFolder();
else throw new Error(`unknown mode ${mode}`);
