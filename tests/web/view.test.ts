import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  LONGEST_SPAN_MS,
  panBy,
  rangeOf,
  SHORTEST_SPAN_MS,
  showSpan,
  spanOf,
  stepNow,
  type View,
  zoomAt,
  zoomStep,
} from '../../web/ruler/view.ts';

const HOUR = 3_600_000;
const NOW = Date.UTC(2026, 2, 4, 11, 10, 42);
const following = (spanMs: number): View => ({ kind: 'following', spanMs });

describe('the view on the ruler', () => {
  test('a following view holds now in its right part, for any now and span', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: SHORTEST_SPAN_MS, max: LONGEST_SPAN_MS }),
        fc.integer({ min: 0, max: 40 * HOUR }),
        (spanMs, later) => {
          const now = NOW + later;
          const { fromMs, toMs } = rangeOf(following(spanMs), now);
          expect(toMs - fromMs).toBeCloseTo(spanMs, 3);
          const share = (now - fromMs) / spanMs;
          expect(share).toBeGreaterThan(0.83);
          expect(share).toBeLessThanOrEqual(0.917);
        },
      ),
      { seed: 3 },
    );
  });

  test('its window stands still while now walks, and moves on by a twelfth', () => {
    const starts = new Set<number>();
    for (let now = NOW; now < NOW + 6 * HOUR; now += 60_000)
      starts.add(rangeOf(following(6 * HOUR), now).fromMs);
    expect(starts.size).toBe(13);
  });

  test('panned into the past it is held; panned back to now it follows again', () => {
    const past = panBy(following(6 * HOUR), -0.5, NOW);
    expect(past).toMatchObject({ kind: 'held' });
    expect(rangeOf(past, NOW + HOUR)).toEqual(rangeOf(past, NOW));
    expect(panBy(past, 0.75, NOW)).toEqual(following(6 * HOUR));
  });

  test('the time under the hand keeps its place in a zoom', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (factor, share) => {
          const view: View = { kind: 'held', fromMs: NOW - 40 * HOUR, toMs: NOW - 30 * HOUR };
          const about = view.fromMs + share * 10 * HOUR;
          const next = zoomAt(view, factor, about, NOW);
          if (next.kind === 'following') return;
          expect((about - next.fromMs) / spanOf(next)).toBeCloseTo(share, 6);
        },
      ),
      { seed: 5 },
    );
  });

  test('no zoom leaves ten minutes to a month', () => {
    expect(spanOf(zoomAt(following(HOUR), 1e-6, NOW, NOW))).toBe(SHORTEST_SPAN_MS);
    expect(spanOf(zoomAt(following(HOUR), 1e6, NOW, NOW))).toBe(LONGEST_SPAN_MS);
  });

  test('the zoom keys walk the round spans and stop at their ends', () => {
    let view = following(6 * HOUR);
    const spans: number[] = [];
    for (let press = 0; press < 4; press++) {
      view = zoomStep(view, 'in', NOW);
      spans.push(spanOf(view) / 60_000);
    }
    expect(spans).toEqual([60, 10, 10, 10]);
    expect(spanOf(zoomStep(following(7 * 24 * HOUR), 'out', NOW)) / HOUR).toBe(31 * 24);
    expect(spanOf(zoomStep(following(2 * HOUR), 'out', NOW)) / HOUR).toBe(6);
  });

  test('another span in the past keeps its middle', () => {
    const view: View = { kind: 'held', fromMs: NOW - 50 * HOUR, toMs: NOW - 44 * HOUR };
    const next = showSpan(view, HOUR, NOW);
    expect(next).toEqual({ kind: 'held', fromMs: NOW - 47.5 * HOUR, toMs: NOW - 46.5 * HOUR });
  });

  test('now walks by whole pixels, never behind what was heard, and at least once a minute', () => {
    const step = (spanMs: number) => stepNow(NOW, spanMs, 1000) - NOW;
    for (const spanMs of [SHORTEST_SPAN_MS, 6 * HOUR, LONGEST_SPAN_MS]) {
      expect(step(spanMs)).toBeGreaterThanOrEqual(0);
      expect(step(spanMs)).toBeLessThan(60_000);
    }
    expect(stepNow(NOW + 1, 6 * HOUR, 1000)).toBe(stepNow(NOW + 2, 6 * HOUR, 1000));
  });
});
