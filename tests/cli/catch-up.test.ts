import { expect, test } from 'vitest';
import { catchUp } from '../../server/cli/catch-up.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine } from '../../server/engine.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';

const T0 = Date.UTC(2026, 10, 25, 6, 0, 0);
const at = (s: number) => ({ wallMs: T0 + s * 1000, monotonicMs: s * 1000 });
const nothing = { pages: () => [], entries: () => [] };

test('after a restart each tracker is told only what came after it was written down itself', () => {
  const reading = readBench(
    ['a', 'b']
      .map(
        (id) =>
          `[[station]]\nid="box${id}"\nrole="drybox"\n[[spool]]\nid="${id}"\nstation="box${id}"\nmaterial="pa6"\nnet_mass_g=900\n`,
      )
      .join(''),
    null,
    { materials: MATERIAL_KEYS, things: [] },
  );
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  const weigh = (spool: string, massG: number) => ({ kind: 'weigh-in', spool, massG, resolutionG: 1 });
  const diary = [
    { number: 1, atMs: T0 + 10_000, value: weigh('a', 1100) },
    { number: 2, atMs: T0 + 30_000, value: weigh('b', 1200) },
    { number: 3, atMs: T0 + 50_000, value: weigh('a', 1099) },
  ];
  // Before the kill: a was written down at 20 s, b at 40 s; each has heard its entries so far.
  const before = createEngine(reading.bench);
  before.enter(weigh('a', 1100), at(10));
  const a = before.save().drying['a'];
  before.enter(weigh('b', 1200), at(30));
  const b = before.save().drying['b'];
  if (!a || !b) throw new Error('nothing was saved');

  const saved = { drying: { a, b }, soak: {}, jobs: {}, waiting: {} };
  const after = createEngine(reading.bench, saved);
  catchUp(
    reading.bench,
    after,
    saved,
    { ...nothing, entries: ({ after: n }) => diary.filter(({ number }) => number > n) },
    at(60),
  );
  const masses = (id: string) => after.save().drying[id]?.weighIns.map(({ massG }) => massG);
  expect(masses('a')).toEqual([1100, 1099]);
  // Told twice, a weigh-in would count as two.
  expect(masses('b') ?? [1200]).toEqual([1200]);
});
