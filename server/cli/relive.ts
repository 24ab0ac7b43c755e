/** The past of a simulated story, lived through at once before its page opens. */
import type { Engine } from '../engine.ts';
import type { Runner } from '../runner.ts';
import { parseCaptureRow } from '../storage/capture-format.ts';

/** Runs rows of a capture through the runner as if they had been heard, each at its own time. */
export function relive(rows: readonly string[], nowMs: number, runner: Runner, engine: Engine): void {
  let second = 0;
  for (const text of rows) {
    const row = parseCaptureRow(text);
    if (!row.ok) continue;
    // Before the clock's zero: monotonic time is negative there, and steady all the way.
    const at = { wallMs: row.atMs, monotonicMs: row.atMs - nowMs };
    if (row.entry) engine.enter(row.entry, at);
    else runner.line({ sourceId: row.source, text: row.line, at, mark: 'whole' });
    if (Math.floor(row.atMs / 60_000) !== second) {
      second = Math.floor(row.atMs / 60_000);
      runner.minute(at);
    }
  }
}
