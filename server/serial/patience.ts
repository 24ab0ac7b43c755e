/** How long a link waits: before it opens again, and for a port that is open and says nothing. */

/** A board that was unplugged and put back is there at once. */
export const RETRY_FIRST_MS = 250;
/** Nobody watches a page longer than this for a board that was just plugged in. */
export const RETRY_MOST_MS = 15_000;

/** Doubles with each failure in a row up to the cap; `random` in [0, 1) takes up to half of it off, so that several sources spread. */
export function retryDelayMs(failuresInARow: number, random: number): number {
  const fullMs = Math.min(RETRY_MOST_MS, RETRY_FIRST_MS * 2 ** Math.min(failuresInARow, 30));
  return fullMs * (1 - random / 2);
}

/** Shorter silences are a busy computer's. */
export const MUTE_LEAST_MS = 10_000;
/** Silent intervals after which a port counts as mute. */
export const MUTE_INTERVALS = 5;
/** Five of the slowest interval that a board can be set to (60 s). */
export const MUTE_MOST_MS = 300_000;

/**
 * How long an open port may be mute. Doubles with each reopening that brought no line, since opening resets many
 * boards: one that first speaks after a minute would be reset before each of its first words.
 */
export function mutePatienceMs(intervalMs: number | null, mutesInARow: number): number {
  const onceMs = Math.max(MUTE_LEAST_MS, MUTE_INTERVALS * (intervalMs ?? 0));
  return Math.max(onceMs, Math.min(MUTE_MOST_MS, onceMs * 2 ** Math.min(mutesInARow, 30)));
}
