/**
 * Checking a table of a bench file against a list of fields: every mistake is noted, none stops the others.
 * A mistake says what, where and what to do.
 */
import { distance } from 'fastest-levenshtein';

export interface Mistake {
  /** Where in the file, as a person would say it: `station "rig"`, `spool 2`. */
  readonly place: string;
  /** Key the mistake is about; null for the table as a whole. */
  readonly key: string | null;
  readonly message: string;
  /** 1-based line in the file, null where it cannot be told. */
  readonly line: number | null;
}

export type Note = (key: string | null, message: string) => void;

/** Reads a raw value; returns undefined after noting a mistake. */
export type Reader<T> = (raw: unknown, key: string, note: Note) => T | undefined;

const show = (raw: unknown): string => (typeof raw === 'string' ? `"${raw}"` : JSON.stringify(raw));

export function nearest(word: string, known: Iterable<string>): string | null {
  let best: string | null = null;
  let bestDistance = Math.max(2, Math.ceil(word.length / 2)) + 0.5;
  for (const candidate of known) {
    const d = distance(word.toLowerCase(), candidate.toLowerCase());
    if (d < bestDistance) {
      best = candidate;
      bestDistance = d;
    }
  }
  return best;
}

const didYouMean = (word: string, known: Iterable<string>): string => {
  const near = nearest(word, known);
  return near === null ? '' : ` Did you mean "${near}"?`;
};

export const text =
  (what: string, pattern?: RegExp): Reader<string> =>
  (raw, key, note) => {
    if (typeof raw === 'string' && raw.length > 0 && (!pattern || pattern.test(raw))) return raw;
    note(key, `${key} = ${show(raw)} is not ${what}.`);
    return undefined;
  };

export const number =
  (low: number, high: number, unit: string, whole = false): Reader<number> =>
  (raw, key, note) => {
    if (typeof raw === 'number' && raw >= low && raw <= high && (!whole || Number.isInteger(raw))) return raw;
    note(
      key,
      `${key} = ${show(raw)}: give a ${whole ? 'whole ' : ''}number from ${low} to ${high}${unit && ` ${unit}`}.`,
    );
    return undefined;
  };

export const oneOf =
  <const T extends string>(what: string, known: readonly T[]): Reader<T> =>
  (raw, key, note) => {
    if (typeof raw === 'string' && (known as readonly string[]).includes(raw)) return raw as T;
    const hint = typeof raw === 'string' ? didYouMean(raw, known) : '';
    const list = known.length <= 40 ? ` Known: ${known.join(', ')}.` : '';
    note(key, `${key} = ${show(raw)} is not ${what}.${hint}${list}`);
    return undefined;
  };

export const listOf =
  <T>(each: Reader<T>): Reader<readonly T[]> =>
  (raw, key, note) => {
    if (!Array.isArray(raw)) {
      note(key, `${key} = ${show(raw)}: give a list, in square brackets.`);
      return undefined;
    }
    const read = raw.map((item) => each(item, key, note));
    return read.includes(undefined) ? undefined : (read as T[]);
  };

export const truth: Reader<boolean> = (raw, key, note) => {
  if (typeof raw === 'boolean') return raw;
  note(key, `${key} = ${show(raw)}: give true or false.`);
  return undefined;
};

/** Notes every key of `table` that is not among `known`, naming the nearest. */
export function noteUnknownKeys(
  table: Readonly<Record<string, unknown>>,
  known: readonly string[],
  note: Note,
): void {
  for (const key of Object.keys(table))
    if (!known.includes(key))
      note(key, `unknown key "${key}".${didYouMean(key, known) || ` Known: ${known.join(', ')}.`}`);
}

export interface Table {
  need<T>(key: string, reader: Reader<T>): T | undefined;
  may<T, D>(key: string, reader: Reader<T>, otherwise: D): T | D;
  has(key: string): boolean;
  note: Note;
}

/** A view of one table that remembers which keys were asked for. */
export function openTable(raw: Readonly<Record<string, unknown>>, note: Note): Table {
  return {
    need(key, reader) {
      if (raw[key] !== undefined) return reader(raw[key], key, note);
      note(null, `${key} is missing.`);
      return undefined;
    },
    may(key, reader, otherwise) {
      return raw[key] === undefined ? otherwise : (reader(raw[key], key, note) ?? otherwise);
    },
    has: (key) => raw[key] !== undefined,
    note,
  };
}
