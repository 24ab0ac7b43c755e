/**
 * The capture file, row by row: `<RFC 3339 UTC with ms>\t<source id>\t<line>`. Lines are kept as received, good or not,
 * so that a replay sees all that the live program saw. A line is a text of one character per byte (latin1); bytes
 * outside 0x20–0x7E and the backslash are written `\xHH`. A row over 240 bytes is cut and ends in `\…`.
 *
 * What a person enters is a row with source `@user` and one JSON object with a `kind`.
 */
import { parseUtc, utcText } from '../utc.ts';

export const USER_SOURCE = '@user';

export interface CaptureRow {
  readonly atMs: number;
  readonly source: string;
  /** As received, one character per byte. */
  readonly line: string;
  /** The line went on, and was cut when it was written. */
  readonly cut: boolean;
  /** What a person entered, in rows of `@user`; else null. */
  readonly entry: UserEntry | null;
}

export type UserEntry = { readonly kind: string } & Readonly<Record<string, unknown>>;

export const CAPTURE_REFUSALS = [
  'blank',
  'too-long',
  'no-fields',
  'bad-time',
  'bad-source',
  'bad-byte',
  'bad-escape',
  'bad-entry',
] as const;
export type CaptureRefusalReason = (typeof CAPTURE_REFUSALS)[number];
export interface CaptureRefusal {
  readonly ok: false;
  readonly reason: CaptureRefusalReason;
  readonly detail: string;
}
export type ParsedCaptureRow = ({ readonly ok: true } & CaptureRow) | CaptureRefusal;

/** Bytes of a row without its ending; twice what a line may have on the wire. */
export const MAX_ROW_BYTES = 240;
/** Rows typed by hand may be longer, but a reader must never hold a file without line ends in memory. */
export const MAX_READ_ROW_CHARS = 4096;
const CUT_MARK = '\\…';
/** In UTF-8: the backslash and the three bytes of U+2026. */
const CUT_MARK_BYTES = 4;
const SOURCE_PATTERN = /^@?[!-?A-[\]-~]{1,64}$/;
const ESCAPE_PATTERN = /\\x([0-9A-Fa-f]{2})/g;

/** A row without its ending; ASCII but for the mark of a cut. */
export function formatCaptureRow(atMs: number, source: string, line: string): string {
  const head = `${utcText(atMs)}\t${source}\t`;
  if (head.length + line.length <= MAX_ROW_BYTES && !/[^\x20-\x7e]|\\/.test(line)) return head + line;
  const pieces = Array.from(line, escapeByte);
  const bytes = pieces.reduce((sum, piece) => sum + piece.length, head.length);
  if (bytes <= MAX_ROW_BYTES) return head + pieces.join('');
  let row = head;
  for (const piece of pieces) {
    // An escape is never cut in two.
    if (row.length + piece.length > MAX_ROW_BYTES - CUT_MARK_BYTES) break;
    row += piece;
  }
  return row + CUT_MARK;
}

/**
 * What a person entered, as a row. JSON cut short could not be read again, so the longest text in it is shortened until
 * the row fits; null when even that is not enough.
 */
export function formatUserRow(atMs: number, entry: UserEntry): string | null {
  let fitting: Record<string, unknown> = entry;
  for (;;) {
    const row = formatWhole(atMs, JSON.stringify(fitting));
    if (row !== null) return row;
    const longest = Object.entries(fitting)
      .filter((pair): pair is [string, string] => typeof pair[1] === 'string' && pair[0] !== 'kind')
      .sort(([, a], [, b]) => b.length - a.length)[0];
    if (!longest || longest[1].length < 16) return null;
    const shorter = Array.from(longest[1].replace(/…$/, '')).slice(0, -8).join('');
    fitting = { ...fitting, [longest[0]]: `${shorter}…` };
  }
}

function formatWhole(atMs: number, json: string): string | null {
  const row = formatCaptureRow(atMs, USER_SOURCE, Buffer.from(json, 'utf8').toString('latin1'));
  return row.endsWith(CUT_MARK) ? null : row;
}

/** One row without its ending (a CR at its end is part of that). */
export function parseCaptureRow(text: string): ParsedCaptureRow {
  const row = text.endsWith('\r') ? text.slice(0, -1) : text;
  if (row === '') return refuse('blank', 'an empty row');
  if (row.length > MAX_READ_ROW_CHARS) return refuse('too-long', `${row.length} characters in one row`);
  const firstTab = row.indexOf('\t');
  const secondTab = row.indexOf('\t', firstTab + 1);
  if (firstTab < 0 || secondTab < 0) return refuse('no-fields', 'a row is time, tab, source, tab, line');
  const time = row.slice(0, firstTab);
  const atMs = parseUtc(time);
  if (atMs === null)
    return refuse('bad-time', `"${shown(time)}" is not a time like 2026-08-22T12:04:05.678Z`);
  const source = row.slice(firstTab + 1, secondTab);
  if (!SOURCE_PATTERN.test(source))
    return refuse('bad-source', `"${shown(source)}" is not the id of a source`);
  const rest = row.slice(secondTab + 1);
  if (source === USER_SOURCE) return parseEntry(atMs, rest);
  const cut = rest.endsWith(CUT_MARK);
  const written = cut ? rest.slice(0, -CUT_MARK.length) : rest;
  if (/[^\x20-\x7e]/.test(written))
    return refuse('bad-byte', 'a byte outside 0x20–0x7E that is not written \\xHH');
  if (hasForeignBackslash(written)) return refuse('bad-escape', 'a backslash that does not begin \\xHH');
  return { ok: true, atMs, source, line: readEscapes(written), cut, entry: null };
}

/** Rows of a person may be typed by hand: with escapes of JSON's own in them, they are taken as they stand. */
function parseEntry(atMs: number, text: string): ParsedCaptureRow {
  let value: unknown;
  try {
    const bytes = Buffer.from(text, 'utf8').toString('latin1');
    const json = hasForeignBackslash(bytes) ? bytes : readEscapes(bytes);
    value = JSON.parse(Buffer.from(json, 'latin1').toString('utf8'));
  } catch {
    return refuse('bad-entry', `"${shown(text)}" is not JSON`);
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return refuse('bad-entry', 'what a person entered is one JSON object');
  if (typeof (value as UserEntry).kind !== 'string')
    return refuse('bad-entry', 'what a person entered needs a "kind"');
  return {
    ok: true,
    atMs,
    source: USER_SOURCE,
    line: JSON.stringify(value),
    cut: false,
    entry: value as UserEntry,
  };
}

const refuse = (reason: CaptureRefusalReason, detail: string): CaptureRefusal => ({
  ok: false,
  reason,
  detail,
});

const shown = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);

function escapeByte(char: string): string {
  const code = char.charCodeAt(0) & 0xff;
  if (code >= 0x20 && code <= 0x7e && code !== 0x5c) return char;
  return `\\x${code.toString(16).toUpperCase().padStart(2, '0')}`;
}

const readEscapes = (text: string): string =>
  text.replace(ESCAPE_PATTERN, (_match, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)));

/** One that does not begin `\\xHH`. */
const hasForeignBackslash = (text: string): boolean => text.replace(ESCAPE_PATTERN, '').includes('\\');
