/**
 * Bench time on the page. A simulated bench lives faster than the wall, and the page's own wall clock may be wrong; so
 * the time of the last message is carried on at the bench's speed by the browser's monotonic clock.
 */
export interface BenchClock {
  /** A message said what time it is on the bench. */
  set(benchMs: number, monotonicMs: number, speed: number): void;
  /** Null before the first message. */
  at(monotonicMs: number): number | null;
}

export function createBenchClock(): BenchClock {
  let anchor: { benchMs: number; monotonicMs: number; speed: number } | null = null;
  return {
    set(benchMs, monotonicMs, speed) {
      anchor = { benchMs, monotonicMs, speed };
    },
    at: (monotonicMs) =>
      anchor && anchor.benchMs + Math.max(0, monotonicMs - anchor.monotonicMs) * anchor.speed,
  };
}
