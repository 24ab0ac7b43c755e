import type { Samples } from '../columns.ts';
import { firstAtOrAfter } from '../series.ts';

/**
 * What a line shows at a time: the nearer of the samples on either side. Null inside a gap, before the first sample,
 * and once the last is older than the longest distance that is no gap.
 */
export function valueNear(samples: Samples, atMs: number): number | null {
  const next = firstAtOrAfter(samples.atMs, atMs);
  const nextMs = samples.atMs[next];
  if (nextMs === atMs) return samples.values[next] ?? null;
  const beforeMs = samples.atMs[next - 1];
  if (beforeMs === undefined || atMs - beforeMs > samples.silenceMs) return null;
  if (nextMs === undefined) return samples.values[next - 1] ?? null;
  if (nextMs - beforeMs > samples.silenceMs) return null;
  return samples.values[nextMs - atMs < atMs - beforeMs ? next : next - 1] ?? null;
}
