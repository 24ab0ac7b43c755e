process.env['TZ'] = 'Europe/Berlin';

import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { linearScale, logScale, roundStep, toY } from '../../web/ruler/scale.ts';
import { rulerTicks } from '../../web/ruler/ticks.ts';

describe('a lane’s scale', () => {
  test('holds all values with room to spare, on round steps, for any values', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -60, max: 200, noNaN: true }),
        fc.double({ min: 0, max: 150, noNaN: true }),
        (low, spread) => {
          const scale = linearScale({ low, high: low + spread }, 12);
          expect(scale.low).toBeLessThanOrEqual(low);
          expect(scale.high).toBeGreaterThanOrEqual(low + spread);
          expect(scale.high - scale.low).toBeGreaterThanOrEqual(12);
          expect(scale.ticks.length).toBeGreaterThanOrEqual(3);
          expect(scale.ticks.length).toBeLessThanOrEqual(9);
          for (const tick of scale.ticks)
            expect(Number(tick.text.replace('\u2212', '-'))).toBeCloseTo(tick.at, 9);
        },
      ),
      { seed: 9 },
    );
  });

  test('never goes below a floor that its quantity has', () => {
    expect(linearScale({ low: 0.1, high: 1 }, 4, 0).low).toBe(0);
  });

  test('noise does not move it', () => {
    const scales = [22.31, 22.36, 22.42].map((high) => linearScale({ low: 22.1, high }, 12));
    expect(new Set(scales.map((scale) => `${scale.low} ${scale.high}`)).size).toBe(1);
  });

  test('steps are 1, 2 or 5 times a power of ten', () => {
    expect([0.7, 3, 11, 42, 999].map((span) => roundStep(span, 5))).toEqual([0.2, 1, 5, 10, 200]);
  });

  test('the log scale writes whole steps without a leading zero', () => {
    expect(logScale(0.05, 2).ticks.map((tick) => tick.text)).toEqual(['.05', '.1', '.2', '.5', '1', '2']);
  });

  test('equal ratios are equal distances on a log scale, equal differences on a linear one', () => {
    const log = logScale(0.05, 2);
    expect(toY(log, 216, 2)).toBe(0);
    expect(toY(log, 216, 0.05)).toBeCloseTo(216, 9);
    expect(toY(log, 216, 0.1) - toY(log, 216, 0.2)).toBeCloseTo(toY(log, 216, 1) - toY(log, 216, 2), 9);
    const linear = { kind: 'linear', low: 0, high: 10, ticks: [] } as const;
    expect(toY(linear, 200, 2.5)).toBe(150);
    expect(toY(linear, 200, 99)).toBe(0);
  });
});

describe('the marks of the ruler', () => {
  const format = createFormat(DEFAULT_PREFERENCES);
  const NOW = Date.UTC(2026, 2, 4, 11, 10);

  test.each([10, 25, 60, 180, 360, 1440, 3 * 1440, 7 * 1440, 31 * 1440])(
    'words stay apart and there are some, over %i minutes and two widths',
    (minutes) => {
      for (const widthPx of [328, 1116]) {
        const range = { fromMs: NOW - minutes * 60_000, toMs: NOW };
        const words = rulerTicks(range, widthPx, format).filter((tick) => tick.text !== '');
        const xs = words.map((tick) => (widthPx * (tick.atMs - range.fromMs)) / (minutes * 60_000));
        expect(words.length).toBeGreaterThanOrEqual(2);
        xs.forEach((x, index) => {
          if (index > 0) expect(x - xs[index - 1]!).toBeGreaterThan(47);
        });
        expect(rulerTicks(range, widthPx, format).length).toBeLessThan(200);
      }
    },
  );

  test('midnight is written as a date', () => {
    const range = { fromMs: Date.UTC(2026, 2, 3, 20), toMs: Date.UTC(2026, 2, 4, 4) };
    expect(rulerTicks(range, 600, format).map((tick) => tick.text)).toContain('4 Mar');
  });
});
