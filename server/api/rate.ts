/** A token bucket for each address: so many requests at once, so many a second after that. Pure: time is handed in. */

export interface RateLimit {
  take(address: string, nowMs: number): 'allowed' | 'too-many';
}

export interface RateOptions {
  readonly perSecond: number;
  readonly burst: number;
}

/** Addresses remembered; the longest unheard is forgotten first, which can only be to its favour. */
const MAX_ADDRESSES = 1000;

export function createRateLimit({ perSecond, burst }: RateOptions): RateLimit {
  const buckets = new Map<string, { left: number; atMs: number }>();
  return {
    take(address, nowMs) {
      const known = buckets.get(address);
      buckets.delete(address);
      const refill = known ? ((nowMs - known.atMs) / 1000) * perSecond : burst;
      const left = Math.min(burst, (known?.left ?? 0) + refill);
      const decision = left >= 1 ? 'allowed' : 'too-many';
      buckets.set(address, { left: decision === 'allowed' ? left - 1 : left, atMs: nowMs });
      if (buckets.size > MAX_ADDRESSES) {
        const [oldest] = buckets.keys();
        if (oldest !== undefined) buckets.delete(oldest);
      }
      return decision;
    },
  };
}
