import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { arrive, type BoardState } from '../../server/intake/board-tracker.ts';

const U = 2 ** 32;
type Line = [seq: number, uptimeMs: number];
const run = (lines: readonly Line[], boot = '3f2a') => {
  let state: BoardState | null = null;
  const verdicts: string[] = [];
  for (const [i, [seq, uptimeMs]] of lines.entries()) {
    const repeats = lines[i - 1]?.[0] === seq && lines[i - 1]?.[1] === uptimeMs;
    const arrival = arrive(state, { boot, seq, uptimeMs }, repeats);
    state = arrival.state;
    verdicts.push(arrival.verdict);
  }
  return { state: state as BoardState | null, verdicts };
};

describe('a board told by its lines', () => {
  test('in order', () => {
    const { verdicts, state } = run([
      [7, 100],
      [8, 2100],
      [9, 4101],
    ]);
    expect(verdicts).toEqual(['first', 'next', 'next']);
    expect(state).toMatchObject({ lines: 3, lost: 0 });
  });
  test('both counters wrap: 49.7 days of milliseconds', () => {
    const { verdicts, state } = run([
      [U - 2, U - 1500],
      [U - 1, U - 500],
      [0, 500],
      [2, 2500],
    ]);
    expect(verdicts).toEqual(['first', 'next', 'next', 'gap']);
    expect(state?.lost).toBe(1);
  });
  test('a repeated line is a duplicate, a straggler is late, neither is used', () => {
    const { verdicts, state } = run([
      [7, 100],
      [9, 4100],
      [9, 4100],
      [8, 2100],
      [10, 6100],
    ]);
    expect(verdicts).toEqual(['first', 'gap', 'duplicate', 'late', 'next']);
    expect(state).toMatchObject({ lost: 1, duplicates: 1, late: 1 });
  });
  test('counters that begin again under the same boot id are a reset, not a thousand late lines', () => {
    const { verdicts, state } = run([
      [5000, 900_000],
      [0, 12],
      [1, 2012],
      [2, 4012],
    ]);
    expect(verdicts).toEqual(['first', 'reset', 'next', 'next']);
    expect(state).toMatchObject({ resets: 1, lost: 0, late: 0 });
  });
  test('a board that numbers each station apart loses no line', () => {
    const { verdicts, state } = run([
      [100, 200_000],
      [20, 200_000],
      [101, 202_000],
      [21, 210_000],
    ]);
    expect(verdicts).toEqual(['first', 'renumbered', 'gap', 'renumbered']);
    expect(state).toMatchObject({ duplicates: 0, late: 0, resets: 0 });
  });
  test('also when it resets after a handful of lines', () => {
    expect(
      run([
        [0, 10],
        [1, 2010],
        [2, 4010],
        [0, 10],
        [1, 2010],
      ]).verdicts.slice(3),
    ).toEqual(['reset', 'next']);
  });
});

test('lost lines equal those left out, wherever the counters stand and whatever is dropped', () => {
  const kept = fc.array(fc.boolean(), { minLength: 2, maxLength: 200 });
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: U - 1 }),
      fc.integer({ min: 0, max: U - 1 }),
      kept,
      (seq0, up0, keep) => {
        const sent = keep.map((k, i): [Line, boolean] => [[(seq0 + i) % U, (up0 + i * 2000) % U], k]);
        const heard = sent.flatMap(([line, k]) => (k ? [line] : []));
        if (heard.length === 0) return;
        const first = keep.indexOf(true);
        const last = keep.lastIndexOf(true);
        const dropped = keep.slice(first, last + 1).filter((k) => !k).length;
        expect(run(heard).state?.lost).toBe(dropped);
      },
    ),
  );
});
