/** From six shells to turns: the wettest one, and the grams from the outside in that are under a limit. */
import { SHELLS } from './model.ts';

/**
 * The wettest turn, wt %. At the sealed hub the profile is flat, so the innermost turn lies an eighth of the first
 * step above the innermost shell's middle (a parabola through two middles).
 */
export function wettestTurn(moisture: Float64Array): number {
  let most = moisture[0]! + Math.max(0, (moisture[0]! - moisture[1]!) / 8);
  for (let i = 1; i < SHELLS; i++) most = Math.max(most, moisture[i]!);
  return most;
}

/** Share of the spool, from the outside in, whose every turn is under the limit; straight lines between shells. */
export function readyShare(moisture: Float64Array, shellShare: Float64Array, limitWtPercent: number): number {
  let ready = 0;
  for (let i = SHELLS - 1; i >= 0; i--) {
    const here = moisture[i]!;
    if (here >= limitWtPercent) {
      if (i === SHELLS - 1) return 0;
      // From the middle of the shell outside to this one's middle the line crosses the limit.
      const outside = moisture[i + 1]!;
      const part = (limitWtPercent - outside) / (here - outside);
      const span = 0.5 * (shellShare[i]! + shellShare[i + 1]!);
      return Math.max(0, ready - 0.5 * shellShare[i + 1]! + part * span);
    }
    ready += shellShare[i]!;
  }
  return 1;
}
