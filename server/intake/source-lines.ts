/**
 * A source's lines to readings, in whatever form they come: LD1 first, then what the bench file says of other people's
 * sketches. Lines without a checksum of their own are marked unchecked.
 */
import { decodeLine } from '../../firmware-protocol/decode.ts';
import type { LineHello, LineReading, Refusal } from '../../firmware-protocol/line.ts';
import type { Instant } from '../clock.ts';
import type { PatternConfig } from '../config/bench.ts';
import { matchPattern } from './pattern.ts';
import { createPlainBoard, type PlainBoard } from './plain-board.ts';
import { looksLikeSenml, readSenml } from './senml.ts';

export type SourceDecoded =
  | {
      readonly ok: true;
      readonly line: LineReading | LineHello;
      /** Readings of further stations that patterns take from the same line. */
      readonly others: readonly LineReading[];
      readonly checked: boolean;
    }
  | Refusal;

export interface SourceLines {
  readonly patterns: readonly PatternConfig[];
  /** Numbering for lines that carry none, one for each source. */
  readonly plainBoards: Map<string, PlainBoard>;
}

export function createSourceLines(patterns: readonly PatternConfig[]): SourceLines {
  return { patterns, plainBoards: new Map() };
}

/**
 * Decodes one line of a source. `at` gives plain lines the uptime they lack. For each station the first
 * pattern that fits takes it, so that one line may hold a box's and a room's sensor.
 */
export function decodeSourceLine(
  sources: SourceLines,
  source: string,
  text: string,
  at: Instant,
): SourceDecoded {
  const decoded = decodeLine(text);
  if (decoded.ok) return { ok: true, line: decoded.line, others: [], checked: true };
  // A line that begins as ours is judged as ours: a damaged LD1 line must not pass as somebody's loose columns.
  if (text.startsWith('LD') || decoded.reason === 'blank') return decoded;
  const plain = (): PlainBoard => {
    const known = sources.plainBoards.get(source);
    if (known) return known;
    const made = createPlainBoard();
    sources.plainBoards.set(source, made);
    return made;
  };
  let refusal: Refusal = decoded;
  if (looksLikeSenml(text)) {
    const read = readSenml(text);
    if (read.ok) {
      const line = plain().number(read.station, read.values, {}, at);
      return { ok: true, line, others: [], checked: false };
    }
    // JSON of a sketch's own is taken by a pattern, where there is one.
    refusal = read;
  }
  const taken = new Map<string, LineReading>();
  for (const pattern of sources.patterns) {
    if (pattern.source !== source || taken.has(pattern.station)) continue;
    const match = matchPattern(pattern, text);
    if (match.ok) taken.set(pattern.station, plain().number(pattern.station, match.values, match.faults, at));
    else refusal = match;
  }
  const [line, ...others] = taken.values();
  return line ? { ok: true, line, others, checked: false } : refusal;
}
