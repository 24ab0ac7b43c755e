import fc from 'fast-check';
import { expect, test } from 'vitest';
import { MAX_BUCKETS, planRead, TIERS } from '../../server/storage/tiers.ts';

const DAY_MS = 86_400_000;
const NOW = Date.UTC(2026, 7, 22);
const nothingEmptied = { raw: 0, ten_seconds: 0, five_minutes: 0 };
const afterAYear = { raw: NOW - 7 * DAY_MS, ten_seconds: NOW - 90 * DAY_MS, five_minutes: 0 };
const manyRows = () => false;

test('each span gets the cheapest tier that still fills the buckets', () => {
  const plan = (spanMs: number) => {
    const { tier, bucketMs } = planRead(NOW - spanMs, NOW, 2000, nothingEmptied, manyRows);
    return [tier.name, bucketMs];
  };
  expect(plan(60_000)).toEqual(['raw', 100]);
  expect(plan(3_600_000)).toEqual(['raw', 2000]);
  expect(plan(5.5 * 3_600_000)).toEqual(['ten_seconds', 10_000]);
  expect(plan(6 * DAY_MS)).toEqual(['five_minutes', 300_000]);
  expect(plan(30 * DAY_MS)).toEqual(['five_minutes', 1_800_000]);
  expect(plan(3650 * DAY_MS)).toEqual(['five_minutes', 2 * DAY_MS]);
});

test('a span older than a tier keeps is answered from the next one', () => {
  const plan = (fromMs: number) => planRead(fromMs, fromMs + 600_000, 2000, afterAYear, manyRows);
  expect(plan(NOW - 6 * DAY_MS).tier.name).toBe('raw');
  expect(plan(NOW - 8 * DAY_MS)).toMatchObject({ tier: { name: 'ten_seconds' }, bucketMs: 10_000 });
  expect(plan(NOW - 91 * DAY_MS)).toMatchObject({ tier: { name: 'five_minutes' }, bucketMs: 300_000 });
});

test('few enough readings are answered as they are', () => {
  const { tier, bucketMs } = planRead(NOW - 6 * DAY_MS, NOW, 2000, nothingEmptied, () => true);
  expect([tier.name, bucketMs]).toEqual(['raw', 1]);
});

test('no span, however odd, takes more than the buckets asked for, nor one narrower than its tier', () => {
  const ms = fc.integer({ min: 0, max: 8_640_000_000_000_000 });
  fc.assert(
    fc.property(ms, ms, fc.integer({ min: 1, max: MAX_BUCKETS }), (a, b, buckets) => {
      const [fromMs, toMs] = [Math.min(a, b), Math.max(a, b) + 1];
      const { tier, bucketMs } = planRead(fromMs, toMs, buckets, afterAYear, manyRows);
      expect(Math.ceil(toMs / bucketMs) - Math.floor(fromMs / bucketMs)).toBeLessThanOrEqual(buckets);
      expect(bucketMs % tier.widthMs).toBe(0);
    }),
    { numRuns: 2000 },
  );
});

test('every width that a tier rolls up into is a multiple of the tier before', () => {
  expect(TIERS[1].widthMs % TIERS[0].widthMs).toBe(0);
  expect(TIERS[2].widthMs % TIERS[1].widthMs).toBe(0);
});
