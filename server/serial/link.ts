/**
 * One source's link: opens its way in, gives out its lines, and opens it again when it ends or falls mute.
 *
 * It is one loop with one timer, so error and close together cannot start two attempts, and a port is given back
 * before it is opened anew. It does not decode; who does tells it whether a line was accepted, and the board's interval.
 */
import type { Cancel, Clock, Instant } from '../clock.ts';
import type { Connection, Way } from './connection.ts';
import { type LineMark, type LineReader, readLines } from './lines.ts';
import { mutePatienceMs, RETRY_MOST_MS, retryDelayMs } from './patience.ts';
import { SourceError, type Trouble } from './trouble.ts';

export interface SourceLine {
  readonly sourceId: string;
  /** latin1, without its ending. Over-long lines are cut one byte past the longest row. */
  readonly text: string;
  readonly at: Instant;
  /** `opening`: the first after an opening, mostly the rest of a line or a reset's noise; refusals of it count apart. */
  readonly mark: LineMark | 'opening';
}

export interface LinkState {
  readonly state: 'opening' | 'open' | 'waiting' | 'ended' | 'closed';
  readonly where: string;
  /** Why no lines come, or why they are of no use; null while all is well. */
  readonly trouble: Trouble | null;
  /** Since when it has been open, or not open. */
  readonly sinceMs: number;
  readonly heardMs: number | null;
  readonly lines: number;
  /** Bytes of over-long lines that were not given out. */
  readonly droppedBytes: number;
  /** Openings tried so far. */
  readonly attempts: number;
}

export interface LinkOptions {
  readonly sourceId: string;
  readonly way: Way;
  readonly clock: Clock;
  /** In [0, 1); spreads the retries. */
  readonly random: () => number;
  /** False: no `?` after opening, for a sketch that would take it amiss. */
  readonly asksHello?: boolean;
  /** A promise holds back the next line, and in the end the sender. */
  readonly onLine: (line: SourceLine) => void | Promise<void>;
  /** Called whenever `state` or `trouble` changed. */
  readonly onState: (state: LinkState) => void;
}

export interface Link {
  state(): LinkState;
  /** The board's own interval, as its hello or its lines tell. */
  noteInterval(intervalMs: number): void;
  /** The line given out last was understood. */
  noteAccepted(): void;
  /** Writes a host command without its line feed; ignored while not open. */
  send(command: string): void;
  /** Gives out what was read, then settles, with the port given back. */
  close(): Promise<void>;
}

/** Fewer may be the rest of a reset; as many in a row are the wrong baud rate, or not an LD1 board. */
const UNREADABLE_AFTER_LINES = 20;

export function startLink(options: LinkOptions): Link {
  const { sourceId, way, clock, random, onLine, onState } = options;
  const closing = new AbortController();
  let phase: LinkState['state'] = 'opening';
  let trouble: Trouble | null = null;
  let sinceMs = clock.now().wallMs;
  let heard: Instant | null = null;
  let lines = 0;
  let attempts = 0;
  let droppedBefore = 0;
  let reader: LineReader | null = null;
  let connection: Connection | null = null;
  let intervalMs: number | null = null;
  let failuresInARow = 0;
  let mutesInARow = 0;
  let refusedInARow = 0;
  /** The one timer: the retry's while waiting, the mute watch's while open. */
  let cancelTimer: Cancel = () => {};
  let wake: () => void = () => {};

  const state = (): LinkState => ({
    state: phase,
    where: way.describe(),
    trouble,
    sinceMs,
    heardMs: heard?.wallMs ?? null,
    lines,
    droppedBytes: droppedBefore + (reader?.droppedBytes() ?? 0),
    attempts,
  });

  function enter(next: LinkState['state'], reason: Trouble | null): void {
    const spell = (one: LinkState['state']): string =>
      one === 'opening' || one === 'waiting' ? 'not open' : one;
    if (spell(next) !== spell(phase)) sinceMs = clock.now().wallMs;
    phase = next;
    trouble = reason;
    onState(state());
  }

  function watchForMute(since: Instant): void {
    cancelTimer();
    if (way.afterEnd === 'finish') return;
    const patienceMs = mutePatienceMs(intervalMs, mutesInARow);
    const heardMs = Math.max(heard?.monotonicMs ?? 0, since.monotonicMs);
    cancelTimer = clock.after(heardMs + patienceMs - clock.now().monotonicMs, () => {
      // Looked at only now, so that a line costs no timer.
      if ((heard?.monotonicMs ?? 0) > heardMs) return watchForMute(since);
      mutesInARow += 1;
      trouble = {
        code: 'mute',
        sentence: `${way.describe()} is open but has said nothing for ${Math.round(patienceMs / 1000)} s, so it is closed and opened again. Check that the board has power and its sketch runs, and that the baud rate is the sketch's.`,
      };
      void connection?.close();
    });
  }

  async function giveOut(text: string, mark: SourceLine['mark']): Promise<void> {
    const at = clock.now();
    heard = at;
    lines += 1;
    mutesInARow = 0;
    refusedInARow += 1;
    if (trouble?.code === 'mute') enter('open', null);
    const taken = onLine({ sourceId, text, at, mark });
    if (taken) await taken;
    if (refusedInARow >= UNREADABLE_AFTER_LINES && trouble === null && phase === 'open')
      enter('open', {
        code: 'unreadable',
        sentence: `${way.describe()} sends lines, but none of the last ${UNREADABLE_AFTER_LINES} could be read. Check the baud rate, and that the board sends LD1 or has a [[pattern]].`,
      });
  }

  /** From the first byte to the last; settles with the reason of the end, null when we closed it. */
  async function serve(open: Connection): Promise<Trouble | null> {
    connection = open;
    const since = clock.now();
    enter('open', trouble?.code === 'mute' ? trouble : null);
    refusedInARow = 0;
    if (options.asksHello !== false) open.write('?\n');
    watchForMute(since);
    reader = readLines(open.bytes);
    let isFirst = way.afterEnd === 'reopen';
    for await (const line of reader.lines) {
      await giveOut(line.text, isFirst ? 'opening' : line.mark);
      isFirst = false;
    }
    cancelTimer();
    const reason = await open.ended;
    await open.close();
    connection = null;
    droppedBefore += reader.droppedBytes();
    reader = null;
    if (clock.now().monotonicMs - since.monotonicMs >= RETRY_MOST_MS) failuresInARow = 0;
    return reason;
  }

  const pause = (ms: number): Promise<void> =>
    new Promise((settle) => {
      wake = settle;
      cancelTimer = clock.after(ms, settle);
    });

  async function attempt(): Promise<Trouble | null> {
    attempts += 1;
    enter('opening', trouble);
    let opened: Connection;
    try {
      opened = await way.open(closing.signal);
    } catch (error) {
      if (error instanceof SourceError) return { code: error.code, sentence: error.message };
      throw error;
    }
    if (closing.signal.aborted) {
      await opened.close();
      return null;
    }
    return (await serve(opened)) ?? trouble;
  }

  async function run(): Promise<void> {
    while (!closing.signal.aborted) {
      const reason = await attempt();
      if (closing.signal.aborted) break;
      if (way.afterEnd === 'finish') return enter('ended', reason);
      enter('waiting', reason);
      await pause(retryDelayMs(failuresInARow, random()));
      failuresInARow += 1;
    }
    enter('closed', null);
  }
  // Not before the caller has the link in hand, for the first state is told at once.
  const done = Promise.resolve().then(run);

  return {
    state,
    noteInterval(ms) {
      const isSame = mutePatienceMs(ms, 0) === mutePatienceMs(intervalMs, 0);
      intervalMs = ms;
      if (!isSame && phase === 'open' && heard) watchForMute(heard);
    },
    noteAccepted() {
      failuresInARow = 0;
      refusedInARow = 0;
      if (trouble?.code === 'unreadable') enter('open', null);
    },
    send(command) {
      connection?.write(`${command}\n`);
    },
    async close() {
      closing.abort();
      cancelTimer();
      wake();
      await connection?.close();
      await done;
    },
  };
}
