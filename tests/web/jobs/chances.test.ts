process.env['TZ'] = 'Europe/Berlin';

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createFormat, DEFAULT_PREFERENCES } from '../../../web/format.ts';
import { chanceAt, HOUR_MS, movedBy, rulerRange, sayChance } from '../../../web/jobs/chances.ts';
import { inTen, sureOf } from '../../../web/words/jobs.ts';
import { NOW_MS } from '../../browser/invented-bench.ts';
import { clockMs } from '../../browser/invented-spool.ts';

const CHANCES = {
  bedOn: true,
  chances: [
    { atMs: NOW_MS, pSpool: 0.2, pChamber: 0 },
    { atMs: NOW_MS + 2 * HOUR_MS, pSpool: 0.6, pChamber: 1 },
    { atMs: NOW_MS + 24 * HOUR_MS, pSpool: 1, pChamber: 1 },
  ],
};
const format = createFormat(DEFAULT_PREFERENCES);

describe('a chance between two times', () => {
  test('lies on the line between them, and stands still before the first', () => {
    expect(chanceAt(CHANCES, NOW_MS + HOUR_MS)).toEqual({ pSpool: 0.4, pChamber: 0.5 });
    expect(chanceAt(CHANCES, NOW_MS - HOUR_MS)).toMatchObject({ pSpool: 0.2 });
    expect(chanceAt(CHANCES, NOW_MS + 25 * HOUR_MS)).toBeNull();
    expect(chanceAt({ bedOn: true, chances: [] }, NOW_MS)).toBeNull();
  });

  test('is said with its time, both chances, and when the job would end', () => {
    const at = (parts: object, startMs: number) =>
      sayChance({ ...CHANCES, ...parts }, startMs, 7, 0.9, '0.20 %', NOW_MS, format);
    expect(at({}, NOW_MS + 2 * HOUR_MS)).toBe(
      'At 14:10, 6 in 10 that every turn is under 0.20 %; all but sure that the chamber is steady. It would end at about 21:15.',
    );
    expect(at({ bedOn: false }, NOW_MS + HOUR_MS)).toBe(
      'At 13:10, 4 in 10 that every turn is under 0.20 %; 5 in 10 that the chamber is steady, if its bed comes on now. It would end at about 20:15.',
    );
    const alone = CHANCES.chances.map((one) => ({ ...one, pChamber: null }));
    expect(at({ chances: alone }, NOW_MS)).toBe(
      'At 12:10, 2 in 10 that every turn is under 0.20 %. It would end at about 19:15.',
    );
    expect(at({}, NOW_MS + 30 * HOUR_MS)).toBe('');
    // 8 of 9 is under nine in ten: it is not rounded up to what was asked for.
    const near = CHANCES.chances.map((one) => ({ ...one, pSpool: 8 / 9, pChamber: null }));
    expect(at({ chances: near }, NOW_MS)).toContain('88 in 100 that every turn');
  });

  test('tenths are whole; nothing is promised by rounding to ten, nor denied by rounding to none', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (p) => {
        const words = inTen(p);
        if (p < 0.05) expect(words).toBe('hardly any chance');
        else if (p > 0.95) expect(words).toBe('all but sure');
        else expect(Math.abs(Number.parseInt(words, 10) - 10 * p)).toBeLessThanOrEqual(0.5 + 1e-9);
      }),
    );
    expect([0.8, 0.9, 0.95].map(sureOf)).toEqual(['8 in 10', '9 in 10', '95 in 100']);
  });
});

describe('the window on the ruler', () => {
  const lastMs = NOW_MS + 24 * HOUR_MS;
  test('moves by ten minutes, an hour, and to the ends; onto whole ten minutes, never before now', () => {
    const from = (key: string, atMs: number) => movedBy(key, atMs, NOW_MS, lastMs);
    expect(from('ArrowRight', clockMs(15, 20))).toBe(clockMs(15, 30));
    expect(from('ArrowLeft', clockMs(15, 20))).toBe(clockMs(15, 10));
    expect(from('PageUp', clockMs(15, 20))).toBe(clockMs(16, 20));
    expect(from('PageDown', clockMs(15, 20))).toBe(clockMs(14, 20));
    expect(from('ArrowLeft', NOW_MS)).toBe(NOW_MS);
    expect(from('ArrowRight', NOW_MS)).toBe(clockMs(12, 20));
    expect(from('ArrowRight', lastMs)).toBe(lastMs);
    expect(from('Home', clockMs(15, 20))).toBe(NOW_MS);
    expect(from('End', NOW_MS)).toBe(lastMs);
    expect(from('Escape', NOW_MS)).toBe('back');
    expect(from('a', NOW_MS)).toBeNull();
  });

  test('the ruler holds now and the earliest start, and the whole job where that is not days', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 20, noNaN: true }),
        fc.double({ min: 0.1, max: 8, noNaN: true }),
        (h, hours) => {
          const earliestMs = NOW_MS + h * HOUR_MS;
          const { fromMs, toMs } = rulerRange(NOW_MS, earliestMs, hours, NOW_MS + 72 * HOUR_MS);
          expect(fromMs).toBeLessThan(NOW_MS);
          expect(toMs).toBeGreaterThan(earliestMs);
          expect(toMs - fromMs).toBeLessThanOrEqual(84 * HOUR_MS);
        },
      ),
    );
    const { toMs } = rulerRange(NOW_MS, NOW_MS + 3 * HOUR_MS, 7, NOW_MS + 72 * HOUR_MS);
    expect(toMs).toBeGreaterThan(NOW_MS + 10 * HOUR_MS);
    // Without a start all that was looked at is shown, as a sentence speaks of the last of it.
    expect(rulerRange(NOW_MS, null, 7, NOW_MS + 72 * HOUR_MS).toMs).toBeGreaterThan(NOW_MS + 69 * HOUR_MS);
    // It stands still for a while.
    expect(rulerRange(clockMs(12, 16), clockMs(15, 0), 7, NOW_MS)).toEqual(
      rulerRange(clockMs(12, 29), clockMs(15, 13), 7, NOW_MS),
    );
  });
});
