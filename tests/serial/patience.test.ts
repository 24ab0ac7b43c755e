import { expect, test } from 'vitest';
import { mutePatienceMs, retryDelayMs } from '../../server/serial/patience.ts';

test('retries start at a quarter of a second, double, and stop growing at 15 s', () => {
  const delays = Array.from({ length: 9 }, (_, failures) => retryDelayMs(failures, 0));
  expect(delays).toEqual([250, 500, 1000, 2000, 4000, 8000, 15_000, 15_000, 15_000]);
  expect(retryDelayMs(1_000_000, 0)).toBe(15_000);
});

test('chance takes off up to a half', () => {
  expect(retryDelayMs(2, 0.5)).toBe(750);
  expect(retryDelayMs(2, 0.999_999)).toBeCloseTo(500, 2);
});

test.each([
  ['an unknown rhythm', null, 0, 10_000],
  ['a fast board', 100, 0, 10_000],
  ['a board of 2 s', 2000, 0, 10_000],
  ['a board of 30 s', 30_000, 0, 150_000],
  ['a board of 60 s', 60_000, 0, 300_000],
  ['a board of 60 s, again', 60_000, 3, 300_000],
  ['a sketch of 10 min', 600_000, 2, 3_000_000],
  ['an unknown rhythm, the second time', null, 1, 20_000],
  ['an unknown rhythm, for ever', null, 1000, 300_000],
])('%s has its patience', (_name, intervalMs, mutes, patienceMs) => {
  expect(mutePatienceMs(intervalMs, mutes)).toBe(patienceMs);
});
