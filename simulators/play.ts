/**
 * Plays a scenario: against a clock, byte for byte into a sink; or at once, into rows of a capture file.
 */
import type { Cancel, Clock } from '../server/clock.ts';
import { type Bench, simulatedBench, type UserEntry } from './bench.ts';
import { captureRow, lineCutter, userRow } from './capture-rows.ts';
import type { Scenario } from './scenario.ts';

export interface PlaySink {
  /** Bytes of a board (latin1 text); one port for all boards may ignore the name. */
  write(board: string, bytes: string): void;
  /** What the story's person enters, if anyone listens. */
  enter?(entry: UserEntry): void;
}

/** How often the sink is served, of the clock's time: at 60 × a line still comes within its second. */
const SERVE_MS = 250;

/**
 * Plays on from where the bench stands, as fast as the clock runs (a clock at 60 × makes an hour a minute). Bytes from
 * the host go to `bench.receive`. Returns how to stop.
 */
export function playBench(bench: Bench, clock: Clock, sink: PlaySink): Cancel {
  const startMs = clock.now().monotonicMs - bench.elapsedMs;
  return clock.every(SERVE_MS, () => {
    const behindMs = clock.now().monotonicMs - startMs - bench.elapsedMs;
    // Whole milliseconds keep the story the same however the timer jitters.
    const ms = Math.floor(behindMs);
    if (ms > 0)
      bench.advance(ms, (event) => {
        if (event.kind === 'bytes') sink.write(event.board, event.bytes);
        else sink.enter?.(event.entry);
      });
  });
}

/** Rows of the bench's next `hours`, dated from `startMs` (epoch of the story's beginning). */
export function recordRows(bench: Bench, hours: number, startMs: number): string[] {
  const rows: string[] = [];
  const cutters = new Map(bench.boards.map((board) => [board.board, lineCutter()]));
  bench.advance(hours * 3_600_000, (event) => {
    const atMs = startMs + event.atMs;
    if (event.kind === 'entry') rows.push(userRow(atMs, event.entry));
    else
      for (const line of cutters.get(event.board)!(event.bytes))
        rows.push(captureRow(atMs, event.board, line));
  });
  return rows;
}

/** A whole capture in virtual time; sources are named like the boards. Some seconds for a day. */
export function recordCapture(scenario: Scenario, hours: number, startMs: number, seed?: number): string[] {
  return recordRows(simulatedBench(scenario, seed), hours, startMs);
}
