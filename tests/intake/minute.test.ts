import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createMinute } from '../../server/intake/minute.ts';

test('the mean of the sixty whole seconds, whatever has gone through before', () => {
  const reading = fc.record({
    gapMs: fc.integer({ min: 1, max: 30_000 }),
    t: fc.integer({ min: -4000, max: 12_000 }).map((n) => n / 100),
    rh: fc.option(fc.integer({ min: -300, max: 10_000 }).map((n) => n / 100)),
  });
  fc.assert(
    fc.property(fc.array(reading, { minLength: 1, maxLength: 300 }), (readings) => {
      const minute = createMinute();
      const heard: { s: number; t: number; rh: number | null }[] = [];
      let atMs = 1_700_000_000_000;
      for (const { gapMs, t, rh } of readings) {
        atMs += gapMs;
        minute.add(atMs, t, rh);
        heard.push({ s: Math.floor(atMs / 1000), t, rh });
        const now = Math.floor(atMs / 1000);
        const inside = heard.filter(({ s }) => s > now - 60);
        const humid = inside.flatMap((r) => (r.rh === null ? [] : [r.rh]));
        const mean = (xs: number[]) => xs.reduce((a, b) => a + b, 0) / xs.length;
        const got = minute.meansAt(atMs);
        expect(got?.airTemperatureC).toBeCloseTo(mean(inside.map(({ t: x }) => x)), 9);
        if (humid.length === 0) expect(got?.relativeHumidityPercent).toBeNull();
        else expect(got?.relativeHumidityPercent).toBeCloseTo(mean(humid), 9);
      }
    }),
  );
});

test('nothing heard for a minute is nothing known', () => {
  const minute = createMinute();
  minute.add(60_000, 20, 40);
  expect(minute.meansAt(119_999)).toEqual({ airTemperatureC: 20, relativeHumidityPercent: 40 });
  expect(minute.meansAt(120_000)).toBeNull();
});

test('a flood leaves no trace in the sums and keeps the memory small', () => {
  const minute = createMinute();
  for (let i = 0; i < 100_000; i++) minute.add(1000 + i, i % 2 ? 0.1 : 70.3, 33.33);
  minute.add(200_000, 20.01, 40.02);
  expect(minute.meansAt(200_000)).toEqual({ airTemperatureC: 20.01, relativeHumidityPercent: 40.02 });
});
