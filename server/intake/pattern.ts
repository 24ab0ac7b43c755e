/** Other people's lines by a `[[pattern]]`: columns in order, or a regular expression whose groups bear key names. */
import type { Fault, Refusal } from '../../firmware-protocol/line.ts';
import type { PatternConfig } from '../config/bench.ts';

export type Matched =
  | {
      readonly ok: true;
      readonly values: Readonly<Record<string, number>>;
      readonly faults: Readonly<Record<string, Fault>>;
    }
  | Refusal;

const SKIP = '-';
/** A plain decimal with a point, as sketches print it; `nan` and its like are a sensor's way of saying nothing. */
const DECIMAL = /^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)$/;
const SAYS_NOTHING = /^[+-]?(nan|inf|ovf|null|none|--)$/i;

const refuse = (reason: 'malformed' | 'bad-value' | 'no-value', detail: string): Refusal => ({
  ok: false,
  reason,
  detail,
});

const compiled = new WeakMap<PatternConfig, RegExp>();

export function matchPattern(pattern: PatternConfig, text: string): Matched {
  const pairs: [string, string][] = [];
  if ('columns' in pattern.take) {
    // Columns part at commas, semicolons, tabs or runs of spaces, whichever the line uses first of these.
    const cells = text.trim().split(/\s*[,;\t]\s*|\s+/);
    const { columns } = pattern.take;
    if (cells.length < columns.length)
      return refuse('malformed', `The pattern has ${columns.length} columns, the line ${cells.length}.`);
    for (const [i, key] of columns.entries()) if (key !== SKIP) pairs.push([key, cells[i] as string]);
  } else {
    const regex = compiled.get(pattern) ?? new RegExp(pattern.take.regex);
    compiled.set(pattern, regex);
    const groups = regex.exec(text)?.groups;
    if (!groups) return refuse('malformed', 'The line does not match the regular expression of its pattern.');
    for (const [key, cell] of Object.entries(groups)) if (cell !== undefined) pairs.push([key, cell]);
  }
  const values: Record<string, number> = {};
  const faults: Record<string, Fault> = {};
  for (const [key, cell] of pairs) {
    if (DECIMAL.test(cell)) values[key] = Number(cell);
    else if (SAYS_NOTHING.test(cell)) faults[key] = 'nack';
    else return refuse('bad-value', `"${cell.slice(0, 40)}" is no number for ${key}.`);
  }
  return pairs.length === 0
    ? refuse('no-value', 'The pattern took no value from the line.')
    : { ok: true, values, faults };
}
