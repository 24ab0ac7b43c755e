/**
 * What may be said about when something is there, as a named outcome. Pure. A median is said only where its range is
 * narrower than half the wait; else the range stands in its place.
 */

export interface Times {
  readonly p05: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
}
export type TimeReason = 'never' | 'beyond' | 'no-run';
export type TimeReasons = { readonly [key in keyof Times]?: TimeReason };

/** Part of the wait that a range may be wide before it stands in place of its median. */
const WIDEST_SHARE = 0.5;

export type TimeWhen =
  | { readonly kind: 'about'; readonly p05Ms: number; readonly p50Ms: number; readonly p95Ms: number }
  | { readonly kind: 'between'; readonly p05Ms: number; readonly p50Ms: number; readonly p95Ms: number }
  /** The latest of the range is open: it may never be, or lies further ahead than is looked. */
  | {
      readonly kind: 'from';
      readonly p05Ms: number;
      readonly p50Ms: number | null;
      readonly open: 'never' | 'beyond';
    }
  | { readonly kind: 'beyond' }
  | { readonly kind: 'no-run' };

export function timeWhen({ p05, p50, p95 }: Times, reason: TimeReasons, nowMs: number): TimeWhen {
  if (p05 === null) return { kind: reason.p05 === 'beyond' ? 'beyond' : 'no-run' };
  if (p50 === null) return { kind: 'from', p05Ms: p05, p50Ms: null, open: 'beyond' };
  if (p95 === null)
    return { kind: 'from', p05Ms: p05, p50Ms: p50, open: reason.p95 === 'never' ? 'never' : 'beyond' };
  const wide = p95 - p05 > WIDEST_SHARE * (p50 - nowMs);
  return { kind: wide ? 'between' : 'about', p05Ms: p05, p50Ms: p50, p95Ms: p95 };
}
