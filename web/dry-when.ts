/**
 * What may be said about when a spool is dry, as a named outcome; in some air it never is. Pure.
 */
import type { Drying } from '../server/api/messages.ts';
import { type TimeWhen, timeWhen } from './time-when.ts';

/** So many of a hundred likely spools stay above the limit in this air, and it is said to be so. */
export const NEVER_FROM = 0.8;

export type DryWhen =
  | TimeWhen
  | { readonly kind: 'perhaps-never'; readonly p05Ms: number | null }
  | { readonly kind: 'never' };

export function dryWhen(drying: Drying, nowMs: number): DryWhen {
  const { p05, p50 } = drying.dryAtMs;
  const reason = drying.dryAtReason;
  if (reason.p50 === 'no-run') return { kind: 'no-run' };
  if (drying.pNever >= NEVER_FROM || reason.p05 === 'never') return { kind: 'never' };
  if (p50 === null && reason.p50 === 'never') return { kind: 'perhaps-never', p05Ms: p05 };
  return timeWhen(drying.dryAtMs, reason, nowMs);
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
