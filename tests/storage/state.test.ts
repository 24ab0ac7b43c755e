import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, onTestFinished, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { type Json, openState } from '../../server/storage/state.ts';
import { open, ownFolder, START_MS } from './bench-folder.ts';

function stateIn(folder: string) {
  const notes: string[] = [];
  const state = openState({
    open,
    path: join(folder, 'state.sqlite'),
    clock: falseClock(START_MS),
    onNote: (note) => notes.push(note),
  });
  onTestFinished(() => state.close());
  return { state, notes };
}

test('any JSON document comes back as it was put, also after closing', () => {
  const folder = ownFolder();
  const { state } = stateIn(folder);
  const wanted = new Map<string, Json>();
  fc.assert(
    fc.property(
      fc.string({ maxLength: 20 }).filter((id) => !id.includes('\0')),
      fc.jsonValue(),
      (id, value) => {
        // -0 has no JSON form of its own.
        const json = JSON.parse(JSON.stringify(value)) as Json;
        state.put('spool', id, json);
        wanted.set(id, json);
        expect(state.get('spool', id)).toEqual(json);
      },
    ),
    { numRuns: 200 },
  );
  state.close();
  const again = stateIn(folder).state;
  expect(new Map(again.all('spool').map(({ id, value }) => [id, value]))).toEqual(wanted);
});

test('kinds are kept apart; removing says whether there was anything', () => {
  const { state } = stateIn(ownFolder());
  state.put('spool', 'gear', 1);
  state.put('job', 'gear', 2);
  expect(state.all('spool')).toEqual([{ id: 'gear', value: 1 }]);
  expect(state.remove('spool', 'gear')).toBe(true);
  expect(state.remove('spool', 'gear')).toBe(false);
  expect(state.get('spool', 'gear')).toBeUndefined();
  expect(state.get('job', 'gear')).toBe(2);
});

test('entries keep the order in which they were entered, whatever the clock said', () => {
  const folder = ownFolder();
  const { state } = stateIn(folder);
  const numbers = [3000, 1000, 2000].map((ms, n) =>
    state.enter(START_MS + ms, n === 1 ? 'lid' : 'weigh-in', { n }),
  );
  expect(numbers).toEqual([1, 2, 3]);
  expect(state.entries().map(({ value }) => value)).toEqual([{ n: 0 }, { n: 1 }, { n: 2 }]);
  expect(state.entries({ after: 1, limit: 1 })).toEqual([
    { number: 2, atMs: START_MS + 1000, kind: 'lid', value: { n: 1 } },
  ]);
  expect(state.entries({ kind: 'weigh-in' }).map(({ number }) => number)).toEqual([1, 3]);
  state.close();
  expect(stateIn(folder).state.enter(START_MS, 'lid', null)).toBe(4);
});

test('several writes together are all kept or none', () => {
  const { state } = stateIn(ownFolder());
  expect(() =>
    state.together(() => {
      state.put('spool', 'gear', 1);
      state.enter(START_MS, 'spool-in', { spool: 'gear' });
      throw new Error('changed its mind');
    }),
  ).toThrow('changed its mind');
  expect([state.all('spool'), state.entries()]).toEqual([[], []]);
  expect(state.together(() => state.enter(START_MS, 'spool-in', { spool: 'gear' }))).toBe(1);
});

test('a document beyond all measure is refused', () => {
  const { state } = stateIn(ownFolder());
  expect(() => state.put('spool', 'gear', 'x'.repeat(1_000_001))).toThrow(/too large/);
});

test('a damaged state file is set aside and that is said in words', () => {
  const folder = ownFolder();
  writeFileSync(join(folder, 'state.sqlite'), 'no database '.repeat(1000));
  const { state, notes } = stateIn(folder);
  expect(notes).toHaveLength(1);
  expect(notes[0]).toMatch(/spools, weigh-ins, jobs\) was damaged\. It was set aside as .*damaged-2026/);
  state.put('spool', 'gear', 1);
  expect(state.all('spool')).toHaveLength(1);
});

// synchronous = FULL is 2: https://sqlite.org/pragma.html#pragma_synchronous
test('state is flushed at each commit, history is not', () => {
  const asked: unknown[] = [];
  const watching: typeof open = (path, access) => {
    const db = open(path, access);
    const exec = (sql: string) => {
      db.exec(sql);
      if (sql.includes('synchronous')) asked.push(db.prepare('PRAGMA synchronous').get()?.['synchronous']);
    };
    return { ...db, exec };
  };
  openState({ open: watching, path: join(ownFolder(), 'state.sqlite'), clock: falseClock(START_MS) }).close();
  expect(asked).toEqual([2]);
});
