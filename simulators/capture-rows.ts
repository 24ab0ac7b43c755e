/**
 * Bytes as they arrive, written as rows of a capture file: `<RFC 3339 UTC with ms>\t<source id>\t<line>`, bytes outside
 * 0x20–0x7E and the backslash as `\xHH`, rows over 240 bytes cut and ended with `\…`.
 * A writer of its own, so that a replay reads what somebody else wrote.
 */
const MOST_ROW_BYTES = 240;
const PLAIN = /^[\x20-\x5b\x5d-\x7e]*$/;
const CUT = '\\…';
/** UTF-8 bytes of the mark above. */
const CUT_BYTES = 4;
/** Unterminated bytes are given up as a partial row here, as a reader with a length guard does. */
const MOST_LINE_BYTES = 240;

const timeText = (atMs: number): string => new Date(atMs).toISOString();

export function captureRow(atMs: number, source: string, line: string): string {
  let row = `${timeText(atMs)}\t${source}\t`;
  if (row.length + line.length <= MOST_ROW_BYTES && PLAIN.test(line)) return row + line;
  const pieces: string[] = [];
  let length = row.length;
  for (let i = 0; i < line.length; i++) {
    const code = line.charCodeAt(i) & 0xff;
    const plain = code >= 0x20 && code <= 0x7e && code !== 0x5c;
    const piece = plain ? line[i]! : `\\x${code.toString(16).toUpperCase().padStart(2, '0')}`;
    pieces.push(piece);
    length += piece.length;
  }
  if (length <= MOST_ROW_BYTES) return row + pieces.join('');
  for (const piece of pieces) {
    if (row.length + piece.length > MOST_ROW_BYTES - CUT_BYTES) break;
    row += piece;
  }
  return row + CUT;
}

/** What a person entered, as a row. */
export const userRow = (atMs: number, entry: object): string =>
  captureRow(atMs, '@user', JSON.stringify(entry));

/** Cuts a byte stream into lines; what has no end yet is kept, up to a guard. */
export function lineCutter(): (bytes: string) => string[] {
  let kept = '';
  return (bytes) => {
    kept += bytes;
    const lines: string[] = [];
    for (let end = kept.indexOf('\n'); end >= 0; end = kept.indexOf('\n')) {
      lines.push(kept.slice(0, end).replace(/\r$/, ''));
      kept = kept.slice(end + 1);
    }
    while (kept.length > MOST_LINE_BYTES) {
      lines.push(kept.slice(0, MOST_LINE_BYTES));
      kept = kept.slice(MOST_LINE_BYTES);
    }
    return lines;
  };
}
