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
  /** `duplicate` and `late` lines are counted and not used. `renumbered`: its sequence went back, its uptime did not. */
  readonly verdict: 'first' | 'next' | 'gap' | 'duplicate' | 'late' | 'reset' | 'renumbered';
  readonly lost: number;
  readonly state: BoardState;
}

/** A line this far behind the newest may be a straggler; further behind, the counters began again. */
const LATE_WINDOW_LINES = 64;
const HALF_RANGE = UINT32_RANGE / 2;

/** a − b on the circle of uint32. */
export const ahead = (a: number, b: number): number => (a - b) >>> 0;

/** `repeatsStation`: this station's own last line bore the same numbers. */
export function arrive(
  before: BoardState | null,
  line: { readonly boot: string; readonly seq: number; readonly uptimeMs: number },
  repeatsStation: boolean,
): Arrival {
  const { boot, seq, uptimeMs } = line;
  const fresh = { boot, seq, uptimeMs };
  if (!before)
    return {
      verdict: 'first',
      lost: 0,
      state: { ...fresh, lines: 1, lost: 0, duplicates: 0, late: 0, resets: 0 },
    };
  const lines = before.lines + 1;
  const steps = ahead(seq, before.seq);
  const uptimeWentBack = ahead(uptimeMs, before.uptimeMs) >= HALF_RANGE;
  if (repeatsStation)
    return { verdict: 'duplicate', lost: 0, state: { ...before, lines, duplicates: before.duplicates + 1 } };
  if (uptimeWentBack) {
    // Behind in both counters, by little, is a straggler; but a board that has just reset stands at its very first lines.
    const behind = UINT32_RANGE - steps;
    if (steps >= HALF_RANGE && behind <= LATE_WINDOW_LINES && seq > 1)
      return { verdict: 'late', lost: 0, state: { ...before, lines, late: before.late + 1 } };
    return { verdict: 'reset', lost: 0, state: { ...before, ...fresh, lines, resets: before.resets + 1 } };
  }
  // A board that numbers each of its stations apart goes to and fro in sequence, not in time: its lines are good.
  if (steps === 0 || steps >= HALF_RANGE)
    return { verdict: 'renumbered', lost: 0, state: { ...before, ...fresh, lines } };
  const lost = steps - 1;
  return {
    verdict: lost > 0 ? 'gap' : 'next',
    lost,
    state: { ...before, ...fresh, lines, lost: before.lost + lost },
  };
}
