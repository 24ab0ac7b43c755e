import * as fc from 'fast-check';
import uPlot from 'uplot';
import { describe, expect, test } from 'vitest';
import { alignColumns, type Samples, samplesOf, silenceLimitMs } from '../../web/columns.ts';
import { emptySeries, type Series, takePoint } from '../../web/series.ts';

const samples = (pairs: readonly (readonly [number, number])[], silenceMs: number): Samples => ({
  atMs: pairs.map(([at]) => at),
  values: pairs.map(([, value]) => value),
  silenceMs,
});

/** Readings every `everyMs` with their values, put in as they would arrive live. */
function seriesOf(bucketMs: number, readings: readonly (readonly [number, number])[]): Series {
  const series = emptySeries(bucketMs);
  for (const [at, value] of readings) takePoint(series, at, value);
  return series;
}

const arbitrarySamples = fc
  .tuple(
    fc.uniqueArray(fc.integer({ min: 0, max: 400 }), { minLength: 1, maxLength: 40 }),
    fc.integer({ min: 3, max: 60 }),
  )
  .map(([times, silence]) =>
    samples(
      times.sort((a, b) => a - b).map((at, index) => [at * 1000, (index * 37) % 11] as const),
      silence * 1000,
    ),
  );

describe('columns for the charts', () => {
  test('a silence longer than the rhythm allows is null in every row it covers', () => {
    // A at 0, 2 and 30 s; B every 5 s. Between 2 and 30 A is quiet, and all of B's rows there must break A's line.
    const a = samples(
      [
        [0, 1],
        [2000, 2],
        [30_000, 3],
      ],
      6000,
    );
    const b = samples(
      [0, 5, 10, 15, 20, 25, 30].map((s) => [s * 1000, s] as const),
      15_000,
    );
    const { xS, ys } = alignColumns([a, b]);
    expect(xS).toEqual([0, 2, 5, 10, 15, 16, 20, 25, 30]);
    expect(ys[0]).toEqual([1, 2, null, null, null, null, null, null, 3]);
    expect(ys[1]).toEqual([0, undefined, 5, 10, 15, undefined, 20, 25, 30]);
  });

  test('a gap has a row of its own where no other series has one', () => {
    const { xS, ys } = alignColumns([
      samples(
        [
          [0, 1],
          [60_000, 2],
        ],
        6000,
      ),
    ]);
    expect(xS).toEqual([0, 30, 60]);
    expect(ys[0]).toEqual([1, null, 2]);
  });

  test('another series’ samples never break a line that is whole', () => {
    const a = samples(
      [
        [0, 1],
        [2000, 2],
        [4000, 3],
      ],
      6000,
    );
    const b = samples(
      [
        [1000, 7],
        [3000, 8],
      ],
      6000,
    );
    expect(alignColumns([a, b]).ys[0]).toEqual([1, undefined, 2, undefined, 3]);
  });

  test('exactly the allowed silence is no gap, one millisecond more is', () => {
    const spaced = (distanceMs: number) =>
      alignColumns([
        samples(
          [
            [0, 1],
            [distanceMs, 2],
          ],
          6000,
        ),
      ]).ys[0];
    expect(spaced(6000)).toEqual([1, 2]);
    expect(spaced(6001)).toEqual([1, null, 2]);
  });

  test('what is no number is treated as not heard, never drawn', () => {
    const { xS, ys } = alignColumns([
      samples(
        [
          [0, 1],
          [2000, Number.NaN],
          [4000, 3],
        ],
        3000,
      ),
    ]);
    expect(xS).toEqual([0, 2, 4]);
    expect(ys[0]).toEqual([1, null, 3]);
  });

  test('a reading with silence on both sides is named, for a line cannot show it', () => {
    const { xS, lone } = alignColumns([
      samples(
        [
          [0, 1],
          [60_000, 2],
          [120_000, 3],
          [121_000, 4],
        ],
        6000,
      ),
    ]);
    expect(lone[0]?.map((row) => xS[row])).toEqual([0, 60]);
  });

  // Outside check: uPlot's own outer join, told of each gap by explicit nulls and asked to widen them over the rows
  // of other series (its null mode 2), must give the same columns.
  test('agrees with the chart library’s own join on any input', () => {
    fc.assert(
      fc.property(fc.array(arbitrarySamples, { minLength: 1, maxLength: 4 }), (all) => {
        const tables = all.map(({ atMs, values, silenceMs }): uPlot.AlignedData => {
          const x: number[] = [];
          const y: (number | null)[] = [];
          atMs.forEach((at, index) => {
            const before = atMs[index - 1];
            if (before !== undefined && at - before > silenceMs) {
              x.push((before + at) / 2 / 1000);
              y.push(null);
            }
            x.push(at / 1000);
            y.push(values[index]!);
          });
          return [x, y];
        });
        const joined =
          all.length === 1
            ? tables[0]!
            : uPlot.join(
                tables,
                tables.map(() => [2, 2]),
              );
        const ours = alignColumns(all);
        expect(ours.xS).toEqual([...joined[0]]);
        expect(ours.ys.map((column) => column.map((value) => value ?? null))).toEqual(
          joined.slice(1).map((column) => [...column].map((value) => value ?? null)),
        );
        // Where the library says "gap", so do we; null and undefined differ only outside a series' own span.
        ours.ys.forEach((column, which) => {
          const theirs = joined[which + 1] as (number | null | undefined)[];
          const numbers = column.flatMap((value, row) => (typeof value === 'number' ? [row] : []));
          for (let row = numbers[0] ?? 0; row <= (numbers.at(-1) ?? -1); row++)
            expect(column[row]).toBe(theirs[row]);
        });
      }),
      { numRuns: 200, seed: 7 },
    );
  });

  test('no column ever holds NaN, whatever the samples hold', () => {
    const wild = fc.array(
      fc.tuple(fc.integer({ min: 0, max: 90_000 }), fc.oneof(fc.double(), fc.constant(Number.NaN))),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(fc.array(wild, { maxLength: 3 }), (lists) => {
        const all = lists.map((list) => {
          const sorted = [...new Map(list)].sort((a, b) => a[0] - b[0]);
          return samples(sorted, 5000);
        });
        const { ys, xS } = alignColumns(all);
        expect(xS.every((x, row) => row === 0 || x > xS[row - 1]!)).toBe(true);
        for (const value of ys.flat())
          expect(value === null || value === undefined || Number.isFinite(value)).toBe(true);
      }),
      { numRuns: 200, seed: 11 },
    );
  });
});

describe('thinning', () => {
  test('a spike of one reading in a month of readings is still drawn', () => {
    const MONTH_MS = 31 * 86_400_000;
    const bucketMs = MONTH_MS / 1000;
    const readings = Array.from({ length: 20_000 }, (_, index) => {
      const at = (MONTH_MS * index) / 20_000;
      return [at, index === 12_345 ? 99 : 20 + Math.sin(index / 50)] as const;
    });
    const thinned = samplesOf(seriesOf(bucketMs, readings), 'line', Number.POSITIVE_INFINITY);
    expect(thinned.atMs.length).toBeLessThanOrEqual(2002);
    expect(Math.max(...thinned.values)).toBe(99);
    const spikeMs = thinned.atMs[thinned.values.indexOf(99)]!;
    expect(Math.abs(spikeMs - (MONTH_MS * 12_345) / 20_000)).toBeLessThanOrEqual(bucketMs);
  });

  test('the line ends at the newest reading, at its own time and height', () => {
    const series = seriesOf(10_000, [
      [0, 5],
      [1000, 9],
      [2000, 1],
      [8000, 6],
    ]);
    const { atMs, values } = samplesOf(series, 'line', 60_000);
    expect([atMs.at(-1), values.at(-1)]).toEqual([8000, 6]);
    expect([Math.min(...values), Math.max(...values)]).toEqual([1, 9]);
    expect(samplesOf(series, 'high', 60_000)).toMatchObject({ atMs: [0, 8000], values: [9, 9] });
  });

  test('a dip survives as well, and the order inside a bucket carries the line on without a needless zigzag', () => {
    const readings = [
      [0, 10],
      [100, 10],
      [1000, 10],
      [1100, 4],
      [2000, 4],
      [2100, 4],
    ] as const;
    const { values } = samplesOf(seriesOf(1000, readings), 'line', 5000);
    expect(values).toEqual([10, 10, 4, 4, 4]);
  });

  test('the edges of a band take their outermost readings', () => {
    const series = seriesOf(1000, [
      [0, 5],
      [400, 7],
      [1000, 6],
    ]);
    expect(samplesOf(series, 'low', 5000).values).toEqual([5, 6]);
    expect(samplesOf(series, 'high', 5000).values).toEqual([7, 6]);
  });

  test('one bucket beyond each edge is kept, so that a line leaves the picture', () => {
    const series = seriesOf(
      1000,
      [0, 1, 2, 3, 4, 5].map((s) => [s * 1000, s] as const),
    );
    expect(samplesOf(series, 'line', 5000, 2000, 3000).values).toEqual([1, 2, 3]);
  });

  test('the rhythm is the station’s own where it is known, else that of its samples', () => {
    const series = seriesOf(
      10,
      [0, 20, 40, 60, 300].map((s) => [s * 1000, 1] as const),
    );
    expect(silenceLimitMs(series, 2000)).toBe(3 * 2000 + 10);
    expect(silenceLimitMs(series, null)).toBe(3 * 20_000 + 10);
  });
});
