import { describe, expect, it } from 'vitest';
import { createLidWatch, watchLid } from '../../../server/estimators/drying/lids.ts';
import { saturationPressurePa } from '../../../server/physics/saturation.ts';

/** Humidity of air with that vapour pressure: what a sensor without lag would say. */
const rhOf = (vapourPa: number, airC: number): number => (100 * vapourPa) / saturationPressurePa(airC);

/** Seconds of open lid seen in a story read every ten seconds. */
function seen(
  hours: number,
  airC: (s: number) => number,
  vapourPa: (s: number) => number,
  withHumidity = true,
): number {
  const watch = createLidWatch();
  let openS = 0;
  for (let s = 0; s <= 3600 * hours; s += 10) {
    const t = airC(s);
    openS += watchLid(watch, s, t, withHumidity ? rhOf(vapourPa(s), t) : null);
  }
  return openS;
}

/** A box that is let go for 40 s in every 150 and falls by 3.6 °C in them. */
const hunting = (s: number): number => {
  const place = s % 150;
  return place < 40 ? 85 - 0.09 * place : Math.min(85, 81.4 + 0.05 * (place - 40));
};
/** Opened for a minute at 3600 s: falls by `depthC`, comes back with 5 min. */
const opened = (depthC: number) => (s: number) => {
  if (s < 3600) return 70;
  if (s < 3660) return 70 - depthC * (1 - Math.exp(-(s - 3600) / 15));
  return 70 - depthC * Math.exp(-(s - 3660) / 300);
};
const wet = 3000;
const room = 1400;
const lost = (s: number): number => (s >= 3600 && s < 3660 ? room : wet);

describe('lids in the air of a hot box', () => {
  it('are not seen in a thermostat that hunts by 3.6 °C, with or without a humidity', () => {
    expect(seen(4, hunting, () => wet)).toBe(0);
    expect(seen(4, hunting, () => wet, false)).toBe(0);
  });

  it('are seen by a shallow fall when the vapour leaves with it, for about as long as they stand open', () => {
    const openS = seen(2, opened(3.5), lost);
    expect(openS).toBeGreaterThanOrEqual(20);
    expect(openS).toBeLessThanOrEqual(120);
    expect(seen(2, opened(3.5), () => wet)).toBe(0);
  });

  it('are seen by a deep fall alone, where the spool is dry and the vapour is the room’s', () => {
    expect(seen(2, opened(8), () => room)).toBeGreaterThanOrEqual(20);
    expect(seen(2, opened(8), () => room, false)).toBeGreaterThanOrEqual(20);
  });

  it('are believed six times in two hours at the most where deep falls come all day', () => {
    const deep = (s: number): number => (s % 600 < 60 ? 85 - 0.12 * (s % 600) : 85);
    const one = seen(0.1, deep, () => wet);
    expect(one).toBeGreaterThan(0);
    expect(seen(10, deep, () => wet)).toBeLessThanOrEqual(6 * 5 * one);
  });
});
