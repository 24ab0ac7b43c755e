import { Value } from 'typebox/value';
import { expect, test } from 'vitest';
import { type Diary, DiarySchema } from '../../server/api/messages-diary.ts';
import { type KeptEntry, registerDiary } from '../../server/api/routes-diary.ts';
import { NOON_MS, serve } from './serve.ts';

const kept = (number: number, value: Record<string, unknown> & { kind: string }): KeptEntry => ({
  number,
  atMs: NOON_MS + 60_000 * number,
  kind: value.kind,
  value,
});
const STORE: readonly KeptEntry[] = [
  kept(1, { kind: 'spool-in', spool: 'gear' }),
  kept(2, { kind: 'weigh-in', spool: 'gear', massG: 1187, resolutionG: 1 }),
  kept(3, { kind: 'weigh-in', spool: 'hinge', massG: 700 }),
  kept(4, { kind: 'weigh-in', spool: 'gear', massG: 118, resolutionG: 1 }),
  kept(5, { kind: 'weigh-in-undone', spool: 'gear' }),
  kept(6, { kind: 'lid', station: 'box' }),
  kept(7, { kind: 'lid', station: 'attic' }),
];

const ask = async () =>
  serve({
    routes: (app) =>
      registerDiary(app, {
        // Two to a page, as a long diary has many.
        entries: (after) => STORE.filter(({ number }) => number > after).slice(0, 2),
        stationOf: (spool) => (spool === 'gear' ? 'box' : null),
      }),
  });

test('a spool’s diary holds what was entered of it and its box, and marks what was taken back', async () => {
  const reply = await (await ask()).ask('/api/diary?spool=gear');
  const diary = JSON.parse(reply.body) as Diary;
  expect(Value.Errors(DiarySchema, diary)).toEqual([]);
  expect(diary.entries.map(({ number, kind, undone }) => [number, kind, undone])).toEqual([
    [1, 'spool-in', false],
    [2, 'weigh-in', false],
    [4, 'weigh-in', true],
    [5, 'weigh-in-undone', false],
    [6, 'lid', false],
  ]);
  expect(diary.entries[1]).toMatchObject({ massG: 1187, resolutionG: 1, atMs: NOON_MS + 120_000 });
});

test('a spool that is not there is said not to be', async () => {
  const reply = await (await ask()).ask('/api/diary?spool=ghost');
  expect(reply.status).toBe(404);
  expect(reply.body).toContain('unknown-name');
});
