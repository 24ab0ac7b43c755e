/** Quantiles of draws, and of times some of which never come. */

export interface Quantiles {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

/** Linear between order statistics (Hyndman & Fan type 7). `values` is sorted in place. */
export function quantilesOf(values: Float64Array): Quantiles {
  values.sort();
  return {
    p05: sortedQuantile(values, 0.05),
    p50: sortedQuantile(values, 0.5),
    p95: sortedQuantile(values, 0.95),
  };
}

export function sortedQuantile(sorted: Float64Array, p: number): number {
  const place = p * (sorted.length - 1);
  const below = Math.floor(place);
  const part = place - below;
  const low = sorted[below]!;
  // Two equal infinities have no difference: the lower stands for both.
  if (part === 0 || low === sorted[below + 1]) return low;
  return low + part * (sorted[below + 1]! - low);
}

/** Later than the forecast reaches: ranks after every time. */
export const BEYOND = 1e300;
/** Ranks last. */
export const NEVER = Number.POSITIVE_INFINITY;

export type TimeReason = 'never' | 'beyond' | 'no-run';
export interface TimeQuantiles {
  /** Seconds of run time, or null with its reason. */
  readonly p05: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
  readonly reason: { readonly p05?: TimeReason; readonly p50?: TimeReason; readonly p95?: TimeReason };
}

/** Quantiles of crossing times by rank: never after beyond after every time. */
export function timeQuantilesOf(times: Float64Array): TimeQuantiles {
  times.sort();
  const reason: { p05?: TimeReason; p50?: TimeReason; p95?: TimeReason } = {};
  const read = (name: 'p05' | 'p50' | 'p95', p: number): number | null => {
    // Between a time and a never there is nothing to interpolate: take the later one, the cautious side.
    const place = p * (times.length - 1);
    const low = times[Math.floor(place)]!;
    const high = times[Math.ceil(place)]!;
    const value = high >= BEYOND ? high : low + (place - Math.floor(place)) * (high - low);
    if (value < BEYOND) return value;
    reason[name] = value === NEVER ? 'never' : 'beyond';
    return null;
  };
  const p05 = read('p05', 0.05);
  const p50 = read('p50', 0.5);
  const p95 = read('p95', 0.95);
  return { p05, p50, p95, reason };
}
