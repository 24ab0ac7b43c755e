/** Times of a capture as a person writes them: from one to another, or its last minutes. */

export type TimeSpan =
  | { readonly kind: 'between'; readonly fromMs: number; readonly toMs: number }
  | { readonly kind: 'last'; readonly ms: number };

const LAST = /^last\/(\d{1,5})min$/;
/** RFC 3339 in UTC, seconds and their fraction left out at will. */
const INSTANT = /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,3})?)?Z$/;

export const SPAN_FORM = 'FROM/TO, like 2026-03-01T10:20Z/2026-03-01T10:40Z, or last/15min';

/** Null where it is neither form, or ends before it begins. */
export function parseSpan(text: string): TimeSpan | null {
  const last = LAST.exec(text);
  if (last) return Number(last[1]) > 0 ? { kind: 'last', ms: Number(last[1]) * 60_000 } : null;
  const ends = text.split('/');
  if (ends.length !== 2 || !ends.every((end) => INSTANT.test(end))) return null;
  const [fromMs, toMs] = ends.map((end) => Date.parse(end)) as [number, number];
  return toMs > fromMs ? { kind: 'between', fromMs, toMs } : null;
}
