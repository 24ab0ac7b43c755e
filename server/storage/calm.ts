/**
 * Whether the wall clock may be believed. A board without a battery clock starts with any date and is put right minutes
 * later; nothing that deletes or sums up by date should run before that.
 */
import type { Instant } from '../clock.ts';

/** Time servers have answered by then. */
const WAIT_MS = 600_000;
/** Slewing and sleep drift stay below; a step is larger. */
const STEP_MS = 60_000;

export interface Calm {
  /** True once wall and monotonic time have gone together for ten minutes. To be asked every few seconds. */
  isCalm(now: Instant): boolean;
}

export function createCalm(start: Instant): Calm {
  let offsetMs = start.wallMs - start.monotonicMs;
  let sinceMs = start.monotonicMs;
  return {
    isCalm({ wallMs, monotonicMs }) {
      const newOffsetMs = wallMs - monotonicMs;
      if (Math.abs(newOffsetMs - offsetMs) > STEP_MS) sinceMs = monotonicMs;
      offsetMs = newOffsetMs;
      return monotonicMs - sinceMs >= WAIT_MS;
    },
  };
}
