/** Reading command-line options: a bad one is named with what it takes, and ends with exit code 2. */
import { InvalidArgumentError } from 'commander';
import { parseListen } from '../config/listen.ts';

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
