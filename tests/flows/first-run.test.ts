/** From an unpacked board to its first dew point, by the same requests that the page makes; no file is edited. */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import type { Snapshot } from '../../server/api/messages.ts';
import type { SetupState } from '../../server/api/messages-setup.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { type Program, startProgram } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'lowdew-first-'));
let program: Program | null = null;
let pty: Pty | null = null;
let talking: NodeJS.Timeout | undefined;
afterEach(() => {
  clearInterval(talking);
  program?.child.kill('SIGKILL');
  pty?.unplug();
  rmSync(folder, { recursive: true, force: true });
});

const DEADLINE_MS = 30_000;

test('ports are listened on, what comes is understood, a bench file is written, and the bench is live', async () => {
  pty = await openPty();
  const board = pty;
  let n = 0;
  talking = setInterval(() => board.write(`T=${(23 + (n++ % 3) / 10).toFixed(1)} H=45.${n % 10}\r\n`), 100);
  program = startProgram(['run', '--data', folder, '--listen', '127.0.0.1:0', '--past', '0'], {
    LOWDEW_BENCH: '',
  });
  const [, url = ''] = await program.says(/The page: (\S+)/);
  const ask = async <T>(path: string): Promise<T> => (await fetch(`${url}${path}`)).json() as Promise<T>;
  const post = (path: string, body: object) =>
    fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });

  expect((await ask<Snapshot>('/api/bench')).simulated).not.toBeNull();
  expect((await ask<SetupState>('/api/setup')).writesTo).toBe(join(folder, 'bench.toml'));
  const said = {
    stations: [{ port: board.path, id: 'box', role: 'drybox' }],
    spool: {
      id: 'gear',
      station: 'box',
      material: 'pa6',
      netMassG: 750,
      reel: 'plastic',
      stored: 'room',
    },
  };
  // Before anything was heard there is nothing to write of it.
  expect((await post('/api/setup/bench', said)).status).toBe(422);
  expect((await post('/api/setup/listen', { path: board.path })).status).toBe(200);
  const deadline = Date.now() + DEADLINE_MS;
  let port: SetupState['ports'][number] | undefined;
  do port = (await ask<SetupState>('/api/setup')).ports.find(({ path }) => path === board.path);
  while (port?.heard?.state !== 'heard' && Date.now() < deadline);
  expect(port?.heard).toMatchObject({ state: 'heard', baud: 115_200 });
  expect(port?.heard?.columns.map(({ key }) => key)).toEqual(['t', 'rh']);
  expect(port?.heard?.stations[0]?.values['t']).toBeGreaterThan(22);

  const nonsense = { ...said, spool: { ...said.spool, material: 'unobtainium' } };
  const refused = await post('/api/setup/bench', nonsense);
  expect(refused.status).toBe(422);
  expect(await refused.text()).toContain('unobtainium');
  expect(existsSync(join(folder, 'bench.toml'))).toBe(false);

  const written = await post('/api/setup/bench', said);
  expect(written.status).toBe(200);
  await program.says(/Beginning with it[\s\S]*The page/);
  let live: Snapshot;
  do live = await ask<Snapshot>('/api/bench');
  while (!live.stations[0]?.air && Date.now() < deadline + DEADLINE_MS);
  expect(live.simulated).toBeNull();
  expect(live.stations.find(({ id }) => id === 'box')?.air?.dewPointC).toBeGreaterThan(5);
  expect(live.spools.map(({ id }) => id)).toEqual(['gear']);

  // A second spool, from the page: the bench begins anew with both, and a wrong one is refused in words.
  const { id: _, ...described } = said.spool;
  const refusedSpool = await post('/api/spools', { ...described, id: 'gear' });
  expect([refusedSpool.status, await refusedSpool.text()]).toEqual([422, expect.stringContaining('already')]);
  expect((await post('/api/spools', { ...described, id: 'shelf-two' })).status).toBe(200);
  await program.says(/The spools are others now[\s\S]*The page/);
  const ids = async () => (await ask<Snapshot>('/api/bench')).spools.map(({ id }) => id);
  expect(await ids()).toEqual(['gear', 'shelf-two']);
  expect((await post('/api/spools/gear/remove', {})).status).toBe(200);
  await program.says(/(The spools are others now[\s\S]*){2}The page/);
  expect(await ids()).toEqual(['shelf-two']);
  // An address that is none leads a person to the page, and tells a program so.
  const nowhere = await fetch(`${url}/nowhere`, { headers: { accept: 'text/html' } });
  expect([nowhere.status, await nowhere.text()]).toEqual([404, expect.stringContaining('<html')]);

  const file = readFileSync(join(folder, 'bench.toml'), 'utf8');
  const again = await post('/api/setup/bench', said);
  expect(again.status).toBe(422);
  expect(await again.text()).toContain('never rewritten');
  expect(readFileSync(join(folder, 'bench.toml'), 'utf8')).toBe(file);
}, 60_000);
