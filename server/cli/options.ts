/** Reading command-line options: a bad one is named with what it takes, and ends with exit code 2. */
import { InvalidArgumentError } from 'commander';
import { KEYS } from '../../firmware-protocol/keys.ts';
import { NAME_PATTERN } from '../../firmware-protocol/line.ts';
import { parseListen } from '../config/listen.ts';
import type { WayConfig } from '../serial/ways.ts';
import { placeToListen } from './listen-place.ts';

export const numberFrom =
  (low: number, high: number, unit: string) =>
  (text: string): number => {
    const value = text.trim() === '' ? Number.NaN : Number(text);
    if (!(value >= low && value <= high))
      throw new InvalidArgumentError(`Give a number from ${low} to ${high}${unit && ` ${unit}`}.`);
    return value;
  };

export const wholeFrom =
  (low: number, high: number, unit: string) =>
  (text: string): number => {
    const value = numberFrom(low, high, unit)(text);
    if (!Number.isInteger(value)) throw new InvalidArgumentError('Give a whole number.');
    return value;
  };

export const oneOf =
  <const T extends string>(known: readonly T[]) =>
  (text: string): T => {
    if (!(known as readonly string[]).includes(text))
      throw new InvalidArgumentError(`Give one of ${known.join(', ')}.`);
    return text as T;
  };

export const listOf =
  <const T extends string>(known: readonly T[]) =>
  (text: string): ReadonlySet<T> =>
    new Set(text.split(',').map((word) => oneOf(known)(word.trim())));

export function listenAddress(text: string): { listenHost: string; listenPort: number } {
  const parsed = parseListen(text);
  if (!parsed) throw new InvalidArgumentError('Give "host:port", like 127.0.0.1:7323.');
  return parsed;
}

export interface ColumnKey {
  /** Null: the station of the whole proposal. */
  readonly station: string | null;
  readonly key: string;
}

/** Keys of columns in order: the registry's, extras, and "-" for what is left out; "room:t" is another station's. */
export function columnKeys(text: string): readonly ColumnKey[] {
  return text.split(',').map((word) => {
    const [key, station = null] = word.trim().split(':').reverse() as [string, string?];
    if (!(key === '-' || /^x_[A-Za-z0-9_]{1,30}$/.test(key) || KEYS.some((entry) => entry.key === key)))
      throw new InvalidArgumentError(
        `"${key}" is no key; give ${KEYS.map((entry) => entry.key).join(', ')}, x_name for another, - to leave one out.`,
      );
    return { station: station === null ? null : stationName(station), key };
  });
}

export function stationName(text: string): string {
  if (!NAME_PATTERN.test(text)) throw new InvalidArgumentError('Give 1–16 letters, digits, _ or -.');
  return text;
}

export function listenPlace(text: string): WayConfig {
  const place = placeToListen(text);
  if (!place) throw new InvalidArgumentError('Give the path of a port, host:port (1 to 65535), or -.');
  return place;
}
