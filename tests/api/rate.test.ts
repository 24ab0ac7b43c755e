import { expect, test } from 'vitest';
import { createRateLimit } from '../../server/api/rate.ts';

test('a burst is let through, then so many a second', () => {
  const rate = createRateLimit({ perSecond: 10, burst: 20 });
  const allowed = (from: number, to: number, stepMs: number) => {
    let count = 0;
    for (let ms = from; ms < to; ms += stepMs) if (rate.take('a', ms) === 'allowed') count++;
    return count;
  };
  // 20 at once and 10 that grow back within the second.
  expect(allowed(0, 1000, 1)).toBe(29);
  expect(allowed(1000, 11_000, 5)).toBeGreaterThanOrEqual(99);
  expect(allowed(11_000, 21_000, 5)).toBeLessThanOrEqual(101);
  expect(rate.take('b', 21_000)).toBe('allowed');
});

test('addresses without end cost no more than a thousand are worth', () => {
  const rate = createRateLimit({ perSecond: 1, burst: 1 });
  for (let n = 0; n < 5000; n++) rate.take(`address ${n}`, 0);
  expect(rate.take('address 4999', 0)).toBe('too-many');
  // Forgotten, so judged as new.
  expect(rate.take('address 0', 0)).toBe('allowed');
});
