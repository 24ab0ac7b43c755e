/** What a person's scale said of the spool: kept for this run and for those to come, and taken back when it was wrong. */
import type { DryingState } from './state.ts';

/** More than a spool sees in its life between runs. */
const MOST_WEIGH_INS = 200;

export function takeWeighIn(state: DryingState, atMs: number, massG: number, resolutionG: number): void {
  state.weighIns.push({ atMs, massG, resolutionG });
  if (state.weighIns.length > MOST_WEIGH_INS) state.weighIns.shift();
  state.run?.weighIns.push({ runS: (atMs - state.run.startMs) / 1000, massG, resolutionG });
}

/**
 * Takes the latest weigh-in back: from the next fit on the run is fitted as if it had never been entered, and a spool
 * called dry since then is judged anew. What a run that has ended learned of it stays.
 */
export function undoWeighIn(state: DryingState): void {
  state.weighIns.pop();
  const { run } = state;
  const undone = run?.weighIns.pop();
  if (!run || !undone) return;
  // A wrong figure leads far off, and the way back from there may end in another valley.
  run.fitAnew = true;
  if (run.dryCalledS === null || run.dryCalledS < undone.runS) return;
  run.dryCalledS = null;
  run.dryRefits = 0;
}
