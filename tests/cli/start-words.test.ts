import { expect, test } from 'vitest';
import type { StartFindingWire } from '../../server/api/messages-jobs.ts';
import { describeStart } from '../../server/cli/start-words.ts';
import { NOW_MS } from '../browser/invented-bench.ts';
import { findingOf } from '../browser/invented-jobs.ts';

const said = (parts: Partial<StartFindingWire>): readonly string[] =>
  describeStart(findingOf(parts), { nowMs: NOW_MS, sure: 0.9, limitWtPercent: 0.2 });

test('a chamber whose bed is off is said to be steady only if its bed came on', () => {
  const ifOn = /^The chamber would be steady at \d\d:\d\d, in 1\.6 h, if its bed came on now\.$/;
  expect(said({})).toContainEqual(expect.stringMatching(ifOn));
  // The same where no start is found, so that no time for the bed is either.
  const never = { outcome: 'spool-never', earliestMs: null, spoolReadyMs: null, bedOnByMs: null } as const;
  expect(said({ ...never, reasons: [] })).toContainEqual(expect.stringMatching(ifOn));
  expect(said({ bedOn: true, bedOnByMs: null })).toContainEqual(
    expect.stringMatching(/^The chamber is steady at \d\d:\d\d, in 1\.6 h\.$/),
  );
});

test('a bed that has to come on at once is told so, and not by a time that is now', () => {
  const bed = (atMs: number) =>
    said({ reasons: [{ kind: 'bed-on-by', atMs, basis: 'earlier-heat-up' }] }).find((line) =>
      line.startsWith('Bed on'),
    );
  expect(bed(NOW_MS)).toBe('Bed on now.');
  expect(bed(NOW_MS + 3_600_000)).toMatch(/^Bed on by \d\d:\d\d\.$/);
});
