import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { backupStore } from '../../server/storage/backup.ts';
import { openState } from '../../server/storage/state.ts';
import { historyIn, open, ownFolder, readAll, START_MS, sample } from './bench-folder.ts';

test('a backup made while running holds all that was added before it, and opens as a history', async () => {
  const folder = ownFolder();
  const { history } = historyIn(folder);
  for (let n = 0; n < 3000; n++) history.add(sample(START_MS + n * 1000, n));
  const to = join(folder, 'copies', 'of-today', 'history.sqlite');
  const copying = history.backup(to);
  // Life goes on meanwhile.
  for (let n = 3000; n < 6000; n++) history.add(sample(START_MS + n * 1000, n));
  history.flush();
  await copying;
  expect(readAll(history, START_MS, START_MS + 6_000_000, 1).max).toEqual([5999]);
  const copy = historyIn(join(folder, 'copies', 'of-today'));
  const read = readAll(copy.history, START_MS, START_MS + 3_000_000, 1);
  expect(read).toMatchObject({ min: [0], max: [2999] });
  expect(read.mean[0]).toBeCloseTo(1499.5, 9);
  expect(copy.notes).toEqual([]);
});

test('the state file is backed up likewise, by another connection than the running one', async () => {
  const folder = ownFolder();
  const path = join(folder, 'state.sqlite');
  const state = openState({ open, path, clock: falseClock(START_MS) });
  state.put('spool', 'gear', { material: 'pa6' });
  state.enter(START_MS, 'weigh-in', { spool: 'gear', massG: 1187 });
  await backupStore(open, path, join(folder, 'copy.sqlite'));
  state.remove('spool', 'gear');
  state.close();
  const copy = openState({ open, path: join(folder, 'copy.sqlite'), clock: falseClock(START_MS) });
  expect(copy.get('spool', 'gear')).toEqual({ material: 'pa6' });
  expect(copy.entries()).toHaveLength(1);
  copy.close();
});

test('a backup never takes the place of a file, and leaves no half one behind', async () => {
  const folder = ownFolder();
  const { history } = historyIn(folder);
  history.add(sample(START_MS, 1));
  const to = join(folder, 'precious.sqlite');
  writeFileSync(to, 'mine');
  await expect(history.backup(to)).rejects.toMatchObject({
    code: 'backup-exists',
    message: /exists already/,
  });
  await expect(history.backup(join(to, 'below-a-file.sqlite'))).rejects.toMatchObject({
    code: 'data-folder',
  });
  await expect(
    backupStore(open, join(folder, 'nothing.sqlite'), join(folder, 'b.sqlite')),
  ).rejects.toMatchObject({ code: 'data-folder', message: /There is no/ });
  expect(existsSync(join(folder, 'b.sqlite'))).toBe(false);
  expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
});
