import { expect, test } from 'vitest';
import type { StartFindingWire } from '../../server/api/messages-jobs.ts';
import { describeStart } from '../../server/cli/start-words.ts';
import { NOW_MS } from '../browser/invented-bench.ts';
import { findingOf } from '../browser/invented-jobs.ts';

const said = (parts: Partial<StartFindingWire>): readonly string[] =>
  describeStart(findingOf(parts), { nowMs: NOW_MS, sure: 0.9, limitWtPercent: 0.2 });

test('a chamber whose bed is off is said to be steady only if its bed came on', () => {
  const ifOn = /^The chamber would be steady at \d\d:\d\d, in 1 h 3\d min, if its bed came on now\.$/;
  expect(said({})).toContainEqual(expect.stringMatching(ifOn));
  // The same where no start is found, so that no time for the bed is either.
  expect(said({ ...NEVER, reasons: [] })).toContainEqual(expect.stringMatching(ifOn));
  expect(said({ bedOn: true, bedOnByMs: null })).toContainEqual(
    expect.stringMatching(/^The chamber is steady at \d\d:\d\d, in 1 h 3\d min\.$/),
  );
});

const NEVER = { outcome: 'spool-never', earliestMs: null, spoolReadyMs: null, bedOnByMs: null } as const;

test('a chance short of the one asked for is not rounded up to it', () => {
  const best = (probability: number) =>
    said({ ...NEVER, reasons: [{ kind: 'probability-at-last', probability }] })[0];
  expect(best(8 / 9)).toBe('Never sure enough in this air: 88 in 100 at best, however long it dries.');
  expect(best(0.62)).toBe('Never sure enough in this air: 6 in 10 at best, however long it dries.');
  const { ifNow } = findingOf({});
  expect(said({ ifNow: { ...ifNow!, pSpool: 0.8995 } })).toContainEqual(
    expect.stringMatching(/^Started now: 89 in 100 that every turn/),
  );
});

test('names a box that is taken to be cooler during the job than it is, and what may change that', () => {
  const assumed = { kind: 'box-assumed', assumedC: 60, presentC: 81.2 } as const;
  expect(said({ ...NEVER, reasons: [{ kind: 'probability-at-last', probability: 0.8 }, assumed] })).toContain(
    'This takes the box to stand at 60 °C while the job prints; it is at 81 °C now. Left hotter, the answer may be better: if filament and reel bear it by their makers’ word, ask again with --box-c.',
  );
});

test('the other’s lead is said in hours and minutes, and a band without width is none', () => {
  const decides = { kind: 'decides', what: 'spool', otherEarlierMin: 446 } as const;
  expect(said({ reasons: [decides] })).toContain(
    'The spool decides; the chamber would be ready 7 h 26 min earlier.',
  );
  const { ifNow } = findingOf({});
  const all = { p05: 150, p50: 150, p95: 150 };
  const none = { p05: 0, p50: 0, p95: 0 };
  const line = said({ ifNow: { ...ifNow!, tooWetG: all, underG: none } }).find((text) =>
    text.startsWith('Started'),
  );
  expect(line).toContain('about 150 g would leave too wet');
});

test('a bed that has to come on at once is told so, and not by a time that is now', () => {
  const bed = (atMs: number) =>
    said({ reasons: [{ kind: 'bed-on-by', atMs, basis: 'earlier-heat-up' }] }).find((line) =>
      line.startsWith('Bed on'),
    );
  expect(bed(NOW_MS)).toBe('Bed on now.');
  expect(bed(NOW_MS + 3_600_000)).toMatch(/^Bed on by \d\d:\d\d\.$/);
});
