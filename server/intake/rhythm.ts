/** How often a station speaks, from its board's own clock, and when its silence means something. */

/** Enough for a median that survives a gap or two. */
const REMEMBERED = 9;
/** Silence shorter than this is never remarked on. */
export const QUIET_LEAST_MS = 10_000;
/** Intervals missed before a station counts as quiet. */
export const QUIET_INTERVALS = 3;

/** Median of the remembered intervals, ms; null before the second line. */
export function medianInterval(intervals: readonly number[]): number | null {
  if (intervals.length === 0) return null;
  const sorted = [...intervals].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}

export function rememberInterval(intervals: readonly number[], elapsedMs: number): readonly number[] {
  return [...intervals.slice(-(REMEMBERED - 1)), elapsedMs];
}

/** How long a station may be silent before it counts as quiet, ms. */
export function quietAfterMs(intervalMs: number | null, leastMs = QUIET_LEAST_MS): number {
  return Math.max(leastMs, QUIET_INTERVALS * (intervalMs ?? 0));
}
