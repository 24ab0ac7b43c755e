/**
 * What may be said about when a spool is dry, as a named outcome. Pure. A median is said only where its range is
 * narrower than half the wait; else the range stands in its place.
 */
import type { Drying } from '../server/api/messages.ts';

/** So many of a hundred likely spools stay above the limit in this air, and it is said to be so. */
export const NEVER_FROM = 0.8;
/** Part of the wait that a range may be wide before it stands in place of its median. */
const WIDEST_SHARE = 0.5;

export type DryWhen =
  | { readonly kind: 'about'; readonly p05Ms: number; readonly p50Ms: number; readonly p95Ms: number }
  | { readonly kind: 'between'; readonly p05Ms: number; readonly p50Ms: number; readonly p95Ms: number }
  /** The latest of the range is open: it may never be, or not within the days that are looked at. */
  | {
      readonly kind: 'from';
      readonly p05Ms: number;
      readonly p50Ms: number | null;
      readonly open: 'never' | 'beyond';
    }
  | { readonly kind: 'perhaps-never'; readonly p05Ms: number | null }
  | { readonly kind: 'beyond' }
  | { readonly kind: 'never' }
  | { readonly kind: 'no-run' };

export function dryWhen(drying: Drying, nowMs: number): DryWhen {
  const { p05, p50, p95 } = drying.dryAtMs;
  const reason = drying.dryAtReason;
  if (reason.p50 === 'no-run') return { kind: 'no-run' };
  if (drying.pNever >= NEVER_FROM || reason.p05 === 'never') return { kind: 'never' };
  if (p50 === null && reason.p50 === 'never') return { kind: 'perhaps-never', p05Ms: p05 };
  if (p05 === null) return { kind: reason.p05 === 'beyond' ? 'beyond' : 'no-run' };
  if (p50 === null) return { kind: 'from', p05Ms: p05, p50Ms: null, open: 'beyond' };
  if (p95 === null)
    return { kind: 'from', p05Ms: p05, p50Ms: p50, open: reason.p95 === 'never' ? 'never' : 'beyond' };
  const wide = p95 - p05 > WIDEST_SHARE * (p50 - nowMs);
  return { kind: wide ? 'between' : 'about', p05Ms: p05, p50Ms: p50, p95Ms: p95 };
}

/** When the median of the forecast passes a limit from below; null where it does not, or is above it already. */
export function passesLimitMs(drying: Drying, limitWtPercent: number): number | null {
  const points = drying.forecast;
  for (let index = 1; index < points.length; index++) {
    const [before, after] = [points[index - 1]!, points[index]!];
    if (before.p50 >= limitWtPercent || after.p50 < limitWtPercent) continue;
    const share = Math.log(limitWtPercent / before.p50) / Math.log(after.p50 / before.p50);
    return before.atMs + share * (after.atMs - before.atMs);
  }
  return null;
}

/** A run goes on, and its end can be spoken of. */
export const isRunning = (drying: Drying): boolean =>
  drying.state === 'warming' || drying.state === 'drying' || drying.state === 'levelling';
