/** Listens on a way in without sending anything, at one speed after the other until what comes reads as text. */
import type { Cancel, Clock } from '../clock.ts';
import type { Way } from '../serial/connection.ts';
import { readLines } from '../serial/lines.ts';
import { readsAsText } from '../serial/reads-as-text.ts';
import type { Trouble } from '../serial/trouble.ts';

/** `ended`: the connection was over before its time. */
export type HeardOutcome = 'text' | 'noise' | 'endless' | 'unsure' | 'silent' | 'ended';

export interface Heard {
  readonly outcome: HeardOutcome;
  /** Whole lines, the first perhaps the rest of one. */
  readonly lines: readonly string[];
  readonly bytes: number;
  /** Why the connection ended by itself. */
  readonly trouble: Trouble | null;
}

/** Opening a port resets many boards, whose start-up messages come at speeds of their own. */
const RESET_MS = 2000;
/** Enough to tell a counter from a reading, and a rare line from the usual ones. */
const LINES_ENOUGH = 12;
/** Of a source that floods; a guess needs no more. */
const MOST_BYTES = 64 * 1024;

/** Throws SourceError when the way cannot be opened. `onLine` is told of lines once they are known to be text. */
export async function listenIn(
  way: Way,
  clock: Clock,
  seconds: number,
  onLine: (line: string) => void,
): Promise<Heard> {
  const giveUp = new AbortController();
  const connection = await way.open(giveUp.signal);
  const chunks: Buffer[] = [];
  let bytes = 0;
  let resetBytes = 0;
  let isReset = way.afterEnd === 'reopen';
  let outcome = 'silent' as HeardOutcome;
  let stopped = false;
  const stop = (): void => {
    if (stopped) return;
    stopped = true;
    void connection.close();
  };
  const cancels: Cancel[] = [
    clock.after(seconds * 1000, stop),
    clock.after(RESET_MS, () => {
      isReset = false;
      resetBytes = bytes;
    }),
  ];
  const lines: string[] = [];
  let told = 0;
  const tell = (): void => {
    for (; outcome === 'text' && told < lines.length; told++) onLine(lines[told] as string);
  };
  connection.bytes.on('data', (chunk: Buffer) => {
    if (bytes >= MOST_BYTES) return stop();
    chunks.push(chunk);
    bytes += chunk.length;
    if (outcome === 'text') return;
    const all = Buffer.concat(chunks);
    outcome = readsAsText(all, isReset ? Buffer.alloc(0) : all.subarray(resetBytes));
    if (outcome === 'noise' || outcome === 'endless') stop();
  });
  for await (const { text, mark } of readLines(connection.bytes).lines) {
    if (mark === 'whole' && text.trim() !== '') lines.push(text);
    tell();
    if (outcome === 'text' && lines.length >= LINES_ENOUGH) stop();
  }
  for (const cancel of cancels) cancel();
  // A file's end, or a plug pulled; our own closing gives no reason.
  const trouble = await connection.ended;
  await connection.close();
  if (outcome === 'unsure' && !stopped) outcome = lines.length > 0 ? 'text' : 'ended';
  tell();
  return { outcome, lines, bytes, trouble: stopped ? null : trouble };
}
