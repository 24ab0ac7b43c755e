import { expect, test } from 'vitest';
import type { Change, Snapshot } from '../../server/api/messages.ts';
import { foldChange, fromSnapshot } from '../../web/bench-model.ts';
import { BOX, benchOf, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import { chamberOf, jobOf, STEADY } from '../browser/invented-chamber.ts';

const snapshot: Snapshot = { type: 'snapshot', sequence: 10, ...benchOf([BOX, RIG]) };
const change = (parts: Partial<Change>): Change => ({
  type: 'change',
  sequence: 11,
  atMs: NOW_MS + 1000,
  ...parts,
});

test('a change takes the place of what it changes and leaves the rest as it was', () => {
  const bench = fromSnapshot(snapshot);
  const hotter = { ...BOX, values: { t: 81 } };
  const folded = foldChange(bench, change({ stations: [hotter, ROOM], historyTrouble: 'The disk is full.' }));
  expect(folded).toMatchObject({
    outcome: 'changed',
    bench: { sequence: 11, atMs: NOW_MS + 1000, historyTrouble: 'The disk is full.', sources: bench.sources },
  });
  expect(folded.outcome === 'changed' && folded.bench.stations).toEqual([hotter, RIG, ROOM]);
  expect(bench.stations).toEqual([BOX, RIG]);
});

test('chambers and jobs come all at once: one that is gone is not kept', () => {
  const bench = { ...fromSnapshot(snapshot), chambers: [chamberOf()], jobs: [jobOf()] };
  const folded = (parts: Partial<Change>) => {
    const done = foldChange(bench, change(parts));
    return done.outcome === 'changed' ? done.bench : bench;
  };
  expect(folded({ chambers: [chamberOf(STEADY)] }).chambers).toEqual([chamberOf(STEADY)]);
  expect(folded({ jobs: [] }).jobs).toEqual([]);
  expect(folded({})).toMatchObject({ chambers: bench.chambers, jobs: bench.jobs });
});

test('trouble that is over is told by null, and is not mistaken for no news', () => {
  const bench = { ...fromSnapshot(snapshot), historyTrouble: 'The disk is full.' };
  const trouble = (parts: Partial<Change>) => {
    const folded = foldChange(bench, change(parts));
    return folded.outcome === 'changed' ? folded.bench.historyTrouble : 'not changed';
  };
  expect(trouble({})).toBe('The disk is full.');
  expect(trouble({ historyTrouble: null })).toBeNull();
});

test('a number left out is a jump, one already seen is nothing new', () => {
  const bench = fromSnapshot(snapshot);
  expect(foldChange(bench, change({ sequence: 12 })).outcome).toBe('jump');
  expect(foldChange(bench, change({ sequence: 10 })).outcome).toBe('already-known');
  expect(foldChange(bench, change({ sequence: 11 })).outcome).toBe('changed');
});
