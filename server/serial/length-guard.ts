/**
 * Stands before the line parser, which would hold an unterminated line without limit: a wrong baud rate or a stuck
 * transmitter sends for hours without a line feed.
 */
import { Transform, type TransformCallback } from 'node:stream';

/** Longest row that is kept, without its ending: twice the longest LD1 line, so that a foreign sketch's lines fit too. */
export const MAX_ROW_BYTES = 240;
/** Two more than a row, so that what is cut stays longer than a row even after a carriage return is taken off it. */
const CUT_BYTES = MAX_ROW_BYTES + 2;

const LINE_FEED = 0x0a;
const LINE_FEED_BYTES = Buffer.from([LINE_FEED]);

/** Passes lines on; of one that is too long only the head, ended at once, and nothing more up to the next line feed. */
export class LengthGuard extends Transform {
  /** Line feeds passed on so far, those put behind a cut line among them. */
  linesEnded = 0;
  /** Bytes of over-long lines that were not passed on. */
  droppedBytes = 0;
  #lineBytes = 0;
  #dropping = false;

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    let kept = 0;
    let at = 0;
    while (at < chunk.length) {
      const feed = chunk.indexOf(LINE_FEED, at);
      const end = feed === -1 ? chunk.length : feed;
      if (this.#dropping) {
        this.droppedBytes += end - at;
        kept = feed === -1 ? end : feed + 1;
        at = kept;
        this.#dropping = feed === -1;
        continue;
      }
      const room = CUT_BYTES - this.#lineBytes;
      if (end - at >= room) {
        this.push(chunk.subarray(kept, at + room));
        this.push(LINE_FEED_BYTES);
        this.linesEnded += 1;
        this.#lineBytes = 0;
        this.#dropping = true;
        at += room;
        kept = at;
        continue;
      }
      if (feed === -1) {
        this.#lineBytes += end - at;
        at = end;
      } else {
        this.linesEnded += 1;
        this.#lineBytes = 0;
        at = feed + 1;
      }
    }
    if (kept < chunk.length) this.push(chunk.subarray(kept));
    done();
  }
}
