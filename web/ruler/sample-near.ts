import type { Samples } from '../columns.ts';
import { firstAtOrAfter } from '../series.ts';

/** The sample nearest to a time, or null where the line has a gap there or does not reach it. */
export function valueNear(samples: Samples, atMs: number): number | null {
  const after = firstAtOrAfter(samples.atMs, atMs);
  let best: number | null = null;
  let bestMs = samples.silenceMs / 2;
  for (const index of [after - 1, after]) {
    const distanceMs = Math.abs((samples.atMs[index] ?? Number.POSITIVE_INFINITY) - atMs);
    if (distanceMs > bestMs) continue;
    bestMs = distanceMs;
    best = samples.values[index] ?? null;
  }
  return best;
}
