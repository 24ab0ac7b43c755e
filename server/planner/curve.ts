/**
 * Draws to curves: each draw is stepped along one grid of times, and what the page draws are quantiles at equal
 * distances up to a round horizon.
 */
import { sortedQuantile } from '../estimators/drying/quantiles.ts';

export interface Curve {
  /** Seconds from the start; °C for the question about air. */
  readonly at: readonly number[];
  readonly p05: readonly number[];
  readonly p25: readonly number[];
  readonly p50: readonly number[];
  readonly p75: readonly number[];
  readonly p95: readonly number[];
  /** A second, slower thing in the same lane, as its median; null where there is none. */
  readonly second: readonly number[] | null;
}

/** Points of a curve: one each ten pixels of a wide lane. */
const POINTS = 81;

/**
 * Steps that grow with time, since what happens slows down as it goes on: each is a share of the time passed, from the
 * first to the longest. Times of the steps' ends, from 0.
 */
export function growingTimes(firstS: number, share: number, longestS: number, endS: number): number[] {
  const times = [0];
  for (let at = 0; at < endS; ) {
    at = Math.min(endS, at + Math.min(longestS, Math.max(firstS, share * at)));
    times.push(at);
  }
  return times;
}

const HOUR = 3600;
const DAY = 24 * HOUR;
/** Horizons a person counts in: hours, days, weeks, months of 30 and years of 365 days. */
const HORIZONS = [
  ...[1, 2, 3, 6, 12].map((hours) => hours * HOUR),
  ...[1, 2, 3, 7, 14, 30, 60, 90, 180, 365, 730, 1095].map((days) => days * DAY),
];

/** The first round horizon at or after a time, within `mostS`. */
export const horizonAfter = (atS: number, mostS: number): number =>
  Math.min(mostS, HORIZONS.find((horizon) => horizon >= atS) ?? mostS);

/** Values of all draws at the times of a grid, row by row of draws. */
export interface Paths {
  readonly times: readonly number[];
  readonly values: Float64Array;
  readonly draws: number;
}

export const createPaths = (times: readonly number[], draws: number): Paths => ({
  times,
  values: new Float64Array(times.length * draws),
  draws,
});

/** Quantiles of the draws along the grid, read off at equal distances from 0 to `horizonS`. */
export function curveOf(paths: Paths, horizonS: number, second: Paths | null): Curve {
  const at = Array.from({ length: POINTS }, (_, point) => (horizonS * point) / (POINTS - 1));
  const columns = quantileColumns(paths, BAND, horizonS);
  const drawn = (column: readonly number[], source: Paths): number[] =>
    at.map((atS) => interpolate(source.times, column, atS));
  const [p05, p25, p50, p75, p95] = columns.map((column) => drawn(column, paths)) as Five<number[]>;
  return {
    at,
    p05,
    p25,
    p50,
    p75,
    p95,
    second: second && drawn(quantileColumns(second, [0.5], horizonS)[0]!, second),
  };
}

type Five<T> = [T, T, T, T, T];
const BAND: readonly number[] = [0.05, 0.25, 0.5, 0.75, 0.95];

/** One column of values for each probability, up to the horizon; the draws of a time are sorted once. */
function quantileColumns(
  { times, values, draws }: Paths,
  probabilities: readonly number[],
  horizonS: number,
): number[][] {
  const columns = probabilities.map((): number[] => []);
  const sorted = new Float64Array(draws);
  for (let i = 0; i < times.length; i++) {
    for (let draw = 0; draw < draws; draw++) sorted[draw] = values[draw * times.length + i]!;
    sorted.sort();
    probabilities.forEach((p, which) => {
      columns[which]!.push(sortedQuantile(sorted, p));
    });
    if (times[i]! >= horizonS) break;
  }
  return columns;
}

/** Straight lines between the points; the ends are held. */
export function interpolate(times: readonly number[], values: readonly number[], at: number): number {
  let high = 1;
  while (high < values.length - 1 && times[high]! < at) high++;
  const [t0, t1] = [times[high - 1]!, times[high]!];
  const part = Math.min(1, Math.max(0, (at - t0) / (t1 - t0)));
  return values[high - 1]! + part * (values[high]! - values[high - 1]!);
}

/**
 * Time at which a draw first meets a limit, straight between the steps; null where it never does on the grid. Already
 * there at the start: 0.
 */
export function crossingS(
  paths: Paths,
  draw: number,
  limit: number,
  way: 'falling' | 'rising',
): number | null {
  const { times, values } = paths;
  const row = draw * times.length;
  const met = (value: number): boolean => (way === 'falling' ? value < limit : value >= limit);
  if (met(values[row]!)) return 0;
  for (let i = 1; i < times.length; i++) {
    const [before, after] = [values[row + i - 1]!, values[row + i]!];
    if (!met(after)) continue;
    const part = (limit - before) / (after - before);
    return times[i - 1]! + part * (times[i]! - times[i - 1]!);
  }
  return null;
}
