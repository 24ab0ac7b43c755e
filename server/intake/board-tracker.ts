/**
 * One boot of one board, told by its lines: what was lost, repeated or late, and the true time between lines.
 * Only the boot id tells a reset from a wrap of the counters; a board that keeps its id over a reset (a sketch with a
 * fixed one) is recognised by counters that start again.
 */
import { UINT32_RANGE } from '../../firmware-protocol/line.ts';

export interface BoardState {
  readonly boot: string;
  readonly seq: number;
  readonly uptimeMs: number;
  readonly lines: number;
  readonly lost: number;
  readonly duplicates: number;
  readonly late: number;
  readonly resets: number;
}

export interface Arrival {
  /** `duplicate` and `late` lines are counted and not used. */
  readonly verdict: 'first' | 'next' | 'gap' | 'duplicate' | 'late' | 'reset';
  readonly lost: number;
  /** Board time since its line before, ms; null where there is none to compare with. */
  readonly elapsedMs: number | null;
  readonly state: BoardState;
}

/** A line this far behind the newest may be a straggler; further behind, the counters began again. */
const LATE_WINDOW_LINES = 64;
const HALF_RANGE = UINT32_RANGE / 2;

/** a − b on the circle of uint32. */
const ahead = (a: number, b: number): number => (a - b) >>> 0;

export function arrive(
  before: BoardState | null,
  line: { readonly boot: string; readonly seq: number; readonly uptimeMs: number },
): Arrival {
  const { boot, seq, uptimeMs } = line;
  const fresh = { boot, seq, uptimeMs };
  if (!before)
    return {
      verdict: 'first',
      lost: 0,
      elapsedMs: null,
      state: { ...fresh, lines: 1, lost: 0, duplicates: 0, late: 0, resets: 0 },
    };
  const lines = before.lines + 1;
  const steps = ahead(seq, before.seq);
  const elapsedMs = ahead(uptimeMs, before.uptimeMs);
  if (steps === 0 && elapsedMs === 0) {
    const state = { ...before, lines, duplicates: before.duplicates + 1 };
    return { verdict: 'duplicate', lost: 0, elapsedMs: null, state };
  }
  if (
    steps >= HALF_RANGE &&
    UINT32_RANGE - steps <= LATE_WINDOW_LINES &&
    elapsedMs >= HALF_RANGE &&
    uptimeMs > 0
  ) {
    // Behind in both counters, by little. A board that reset this soon would stand at its very first lines.
    if (seq > 1) {
      const state = { ...before, lines, late: before.late + 1 };
      return { verdict: 'late', lost: 0, elapsedMs: null, state };
    }
  }
  if (steps === 0 || steps >= HALF_RANGE || elapsedMs >= HALF_RANGE) {
    const state = { ...before, ...fresh, lines, resets: before.resets + 1 };
    return { verdict: 'reset', lost: 0, elapsedMs: null, state };
  }
  const lost = steps - 1;
  const state = { ...before, ...fresh, lines, lost: before.lost + lost };
  return { verdict: lost > 0 ? 'gap' : 'next', lost, elapsedMs, state };
}
