/**
 * The only file that asks the system for the time or sets a timer. Everything else is handed a Clock, or an Instant.
 *
 * Two times run side by side: wall time, which may be stepped by a person or a time server, and monotonic time, which
 * never is. Durations are taken from the monotonic one (or from a board's uptime), labels from the wall.
 */
import { performance } from 'node:perf_hooks';

export interface Instant {
  /** Milliseconds since the Unix epoch. */
  readonly wallMs: number;
  /** Milliseconds since an arbitrary start; never goes back. */
  readonly monotonicMs: number;
}

/** Takes a timer back; calling it twice does nothing. */
export type Cancel = () => void;

export interface Clock {
  now(): Instant;
  /** Calls once after `ms` of this clock's time. */
  after(ms: number, call: () => void): Cancel;
  /** Calls every `ms` of this clock's time until cancelled. */
  every(ms: number, call: () => void): Cancel;
}

export interface HeldClock extends Clock {
  /** Lets time pass from here on. */
  go(): void;
}

/** The system's own time, `speed` times as fast, its wall time starting where the system's stands. */
export function systemClock(speed = 1): Clock {
  const clock = heldClock(speed);
  clock.go();
  return clock;
}

/** The same, standing still until told to go: for what must be made ready before time passes. */
export function heldClock(speed = 1): HeldClock {
  const wallStartMs = Date.now();
  let monotonicStartMs: number | null = null;
  return {
    go() {
      monotonicStartMs ??= performance.now();
    },
    now() {
      const elapsedMs = monotonicStartMs === null ? 0 : (performance.now() - monotonicStartMs) * speed;
      // At true speed the wall is asked afresh each time, so that a step of the system clock is seen.
      const wallMs = speed === 1 ? Date.now() : wallStartMs + elapsedMs;
      return { wallMs: Math.round(wallMs), monotonicMs: elapsedMs };
    },
    after(ms, call) {
      const timer = setTimeout(call, ms / speed);
      return () => clearTimeout(timer);
    },
    every(ms, call) {
      const timer = setInterval(call, Math.max(1, ms / speed));
      return () => clearInterval(timer);
    },
  };
}

export interface FalseClock extends Clock {
  /** Moves time on, firing due timers in order; async work between them is awaited by the caller. */
  advance(ms: number): void;
  /** Steps the wall without moving the monotonic time, as a person or a time server does. */
  stepWall(ms: number): void;
}

/** A clock that stands still until told: for tests, and for anything that lives in virtual time. */
export function falseClock(startWallMs: number): FalseClock {
  let monotonicMs = 0;
  let wallOffsetMs = startWallMs;
  let nextOrder = 0;
  const timers = new Map<number, { dueMs: number; everyMs: number | null; call: () => void }>();
  const arm = (ms: number, everyMs: number | null, call: () => void): Cancel => {
    const order = nextOrder++;
    timers.set(order, { dueMs: monotonicMs + Math.max(0, ms), everyMs, call });
    return () => {
      timers.delete(order);
    };
  };
  return {
    now: () => ({ wallMs: Math.round(wallOffsetMs + monotonicMs), monotonicMs }),
    after: (ms, call) => arm(ms, null, call),
    every: (ms, call) => arm(ms, Math.max(1, ms), call),
    advance(ms) {
      const endMs = monotonicMs + ms;
      for (;;) {
        let due: [number, { dueMs: number; everyMs: number | null; call: () => void }] | undefined;
        for (const entry of timers)
          if (entry[1].dueMs <= endMs && (!due || entry[1].dueMs < due[1].dueMs)) due = entry;
        if (!due) break;
        const [order, timer] = due;
        monotonicMs = Math.max(monotonicMs, timer.dueMs);
        if (timer.everyMs === null) timers.delete(order);
        else timer.dueMs += timer.everyMs;
        timer.call();
      }
      monotonicMs = endMs;
    },
    stepWall(ms) {
      wallOffsetMs += ms;
    },
  };
}
