/**
 * A line of an unknown sketch as words, numbers and times, so that lines which differ in their numbers alone have one
 * shape. Text is latin1, one byte a character, as the serial room gives it out.
 */

/** `words` is text between numbers; `nothing` stands where a sensor said "nan" instead of a number. */
export interface Part {
  readonly kind: 'words' | 'number' | 'nothing' | 'time';
  readonly text: string;
}

export interface Shape {
  /** Equal for lines that differ only in their numbers, times and padding. */
  readonly key: string;
  readonly parts: readonly Part[];
}

const DATE = String.raw`\d{4}[-/.]\d\d?[-/.]\d\d?(?:[T ]\d\d?:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:?\d\d)?)?`;
const CLOCK = String.raw`(?<![\w.:])\d\d?:\d\d(?::\d\d(?:\.\d+)?)?(?![\w:])`;
const NUMBER = String.raw`(?<![\w.])[-+]?(?:\d+\.?\d*|\.\d+)`;
/** Right behind a letter a number is one only with a point in it: "T23.4" is, "SHT31" is not. */
const GLUED = String.raw`(?<=[A-Za-z])-?\d+\.\d+`;
const NOTHING = String.raw`(?<![\w])[-+]?(?:nan|NaN|NAN|inf|INF|ovf|null|None)(?![\w])`;
const TOKEN = new RegExp(
  `(?<time>${DATE}|${CLOCK})|(?<nothing>${NOTHING})|(?<number>${NUMBER}|${GLUED})`,
  'g',
);

export function shapeOf(line: string): Shape {
  const parts: Part[] = [];
  let from = 0;
  const text = line.trim();
  for (const match of text.matchAll(TOKEN)) {
    if (match.index > from) parts.push({ kind: 'words', text: text.slice(from, match.index) });
    const kind = match.groups?.['time'] ? 'time' : match.groups?.['nothing'] ? 'nothing' : 'number';
    parts.push({ kind, text: match[0] });
    from = match.index + match[0].length;
  }
  if (from < text.length) parts.push({ kind: 'words', text: text.slice(from) });
  const key = parts
    .map((part) =>
      part.kind === 'words' ? part.text.replaceAll(/\s+/g, '') : part.kind === 'time' ? '\x02' : '\x01',
    )
    .join('');
  return { key, parts };
}

/** A part that holds a value or stands for one. */
export const isSlot = (part: Part): boolean => part.kind === 'number' || part.kind === 'nothing';

/** As a person reads it: the degree sign in either encoding becomes one, other bytes beyond ASCII blanks. */
export const legible = (text: string): string =>
  text.replaceAll(/\u00c2?[\u00b0\u00ba]/g, '°').replaceAll(/[^ -~°\t]+/g, ' ');

/** What stands between numbers as a piece of a regular expression, tolerant of padding and of the degree sign's bytes. */
function wordsToRegex(text: string, isFirst: boolean, isLast: boolean): string {
  const trimmed = text.trim();
  const body = trimmed
    .split(/\s+/)
    .map((word) => word.replaceAll(/[^ -~]+|[\\^$.*+?()[\]{}|/']/g, escapePiece))
    .join(String.raw`\s+`);
  if (trimmed === '') return String.raw`\s+`;
  // Right behind a letter or a digit a blank is needed, or two words would run together; elsewhere it is padding.
  const before = isFirst ? '' : String.raw`\s*`;
  const after = isLast ? '' : /\s$/.test(text) && /\w$/.test(trimmed) ? String.raw`\s+` : String.raw`\s*`;
  return before + body + after;
}

const escapePiece = (piece: string): string =>
  piece === "'" ? String.raw`\x27` : /^[ -~]/.test(piece) ? `\\${piece}` : String.raw`\W+`;

const NUMBER_REGEX = String.raw`[-+.\d]+`;
const TIME_REGEX = String.raw`[-+:./\dTZ ]+`;

/**
 * A regular expression for all lines of a shape. `keys` names each slot in order; a slot without a key is passed over.
 * `nothings`: the words that stood in a number's place in some line.
 */
export function shapeToRegex(
  shape: Shape,
  keys: readonly (string | null)[],
  nothings: readonly string[],
): string {
  let slot = 0;
  const value = [NUMBER_REGEX, 'nan', ...nothings.filter((word) => word !== 'nan')].join('|');
  const pieces = shape.parts.map((part, i) => {
    if (part.kind === 'time') return TIME_REGEX;
    if (!isSlot(part)) return wordsToRegex(part.text, i === 0, i === shape.parts.length - 1);
    const key = keys[slot++];
    return key ? `(?<${key}>${value})` : `(?:${value})`;
  });
  return `^\\s*${pieces.join('')}\\s*$`;
}
