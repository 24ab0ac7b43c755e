/**
 * Steady time: the wall clock as it stood at the first call, carried on by the monotonic one. A wall clock that is set
 * later moves the labels, never a run.
 */
import type { Instant } from '../clock.ts';

export type SteadyTime = (at: Instant) => number;

export function createSteadyTime(): SteadyTime {
  let aheadMs: number | null = null;
  return (at) => {
    aheadMs ??= at.wallMs - at.monotonicMs;
    return at.monotonicMs + aheadMs;
  };
}
