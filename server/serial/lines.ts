/** Bytes of one connection into its lines, in order, none held back and none without a bound. */
import type { Readable } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { LengthGuard, MAX_ROW_BYTES } from './length-guard.ts';

/** `partial`: the connection ended inside it. `over-long`: cut, and one byte longer than the longest row that is kept. */
export type LineMark = 'whole' | 'partial' | 'over-long';

export interface RawLine {
  /** latin1, so that every byte is one character; without LF or CRLF. */
  readonly text: string;
  readonly mark: LineMark;
}

/** Lines waiting for a slow taker; beyond it the bytes stay with the kernel, whose losses the sequence numbers show. */
const LINE_QUEUE = 64;

export interface LineReader {
  readonly lines: AsyncIterable<RawLine>;
  /** Bytes of over-long lines dropped so far. */
  droppedBytes(): number;
}

/** Ends with the bytes; an error of theirs counts as their end. */
export function readLines(bytes: Readable): LineReader {
  const guard = new LengthGuard();
  const parser = new ReadlineParser({
    delimiter: '\n',
    encoding: 'latin1',
    // Or an iterator would be given several waiting lines glued together.
    readableObjectMode: true,
    readableHighWaterMark: LINE_QUEUE,
  });
  bytes.once('error', () => guard.end());
  bytes.pipe(guard).pipe(parser);
  return { lines: markLines(parser, guard), droppedBytes: () => guard.droppedBytes };
}

async function* markLines(parser: AsyncIterable<string>, guard: LengthGuard): AsyncGenerator<RawLine> {
  let taken = 0;
  for await (const line of parser) {
    taken += 1;
    const text = line.endsWith('\r') ? line.slice(0, -1) : line;
    // The parser gives what is left at the end as if it were a line; only the count of line feeds tells.
    if (taken > guard.linesEnded) {
      if (line.length > 0) yield { text, mark: 'partial' };
    } else if (text.length > MAX_ROW_BYTES) {
      yield { text: text.slice(0, MAX_ROW_BYTES + 1), mark: 'over-long' };
    } else yield { text, mark: 'whole' };
  }
}
