/** A small start study with fixed seeds, to see that the figures hold and that worse checks fail them. */
import { beforeAll, describe, expect, it } from 'vitest';
import { judgeStart, type StartFigures, startFaults, startFigures } from './start.ts';
import { runStartCase, type StartCase } from './start-run.ts';

// Polycarbonate and PA12: the shortest runs.
const SEEDS = [101, 102, 105, 106, 110, 113, 114, 118];
const SLACK = 0.2;
let cases: StartCase[];

const figuresOf = (statedS: (run: StartCase) => number | null): StartFigures =>
  startFigures(cases.map((run) => judgeStart(run, 'judged', 0.9, 'start-later', statedS(run))));

describe('a small start study', () => {
  beforeAll(() => {
    cases = SEEDS.map((seed) => runStartCase(seed, { follow: false }));
  }, 60_000);

  it('nearly all jobs started at the stated time stay under the limit', () => {
    const { judged, good } = figuresOf(({ findings }) => {
      const ms = findings[0]!.earliestMs;
      return ms === null ? null : ms / 1000;
    });
    expect(judged).toBeGreaterThanOrEqual(5);
    expect(good / judged).toBeGreaterThanOrEqual(0.87 - SLACK);
  });

  it('a check that always says "four hours of drying" fails', () => {
    expect(
      startFaults(
        figuresOf(({ heatAtS }) => heatAtS + 4 * 3600),
        0.9,
        SLACK,
      ).length,
    ).toBeGreaterThan(0);
  });

  it('an overconfident one, that starts at once, fails', () => {
    const faults = startFaults(
      figuresOf(({ askedS }) => askedS),
      0.9,
      SLACK,
    );
    expect(faults.join('; ')).toContain('kept under the limit');
  });
});
