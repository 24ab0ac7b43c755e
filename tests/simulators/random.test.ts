import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../simulators/random.ts';

const COUNT = 40_000;

describe('seeded random numbers', () => {
  it('are the same for the same seed and others for another', () => {
    const draw = (seed: number): number[] => {
      const random = seededRandom(seed);
      return Array.from({ length: 20 }, () => random.next());
    };
    expect(draw(7)).toEqual(draw(7));
    expect(draw(7)).not.toEqual(draw(8));
  });

  it('are uniform: chi-square over 64 bins below its 99.9 % point, neighbours uncorrelated', () => {
    // 63 degrees of freedom: 99.9 % point 103.4 (published chi-square tables). Correlation: 4/√n.
    for (const seed of [1, 2, 3, 1000]) {
      const random = seededRandom(seed);
      const bins = new Array<number>(64).fill(0);
      let product = 0;
      let before = random.next();
      for (let i = 0; i < COUNT; i++) {
        const value = random.next();
        const bin = Math.floor(value * 64);
        bins[bin] = (bins[bin] ?? 0) + 1;
        product += (value - 0.5) * (before - 0.5) * 12;
        before = value;
      }
      const chi = bins.reduce((sum, n) => sum + (n - COUNT / 64) ** 2 / (COUNT / 64), 0);
      expect(chi).toBeLessThan(103.4);
      expect(Math.abs(product / COUNT)).toBeLessThan(4 / Math.sqrt(COUNT));
    }
  });

  it('neighbouring seeds start apart', () => {
    let product = 0;
    for (let seed = 0; seed < COUNT; seed++)
      product += (seededRandom(seed).next() - 0.5) * (seededRandom(seed + 1).next() - 0.5) * 12;
    expect(Math.abs(product / COUNT)).toBeLessThan(4 / Math.sqrt(COUNT));
  });

  it('give normal numbers: moments and tails within what the count allows', () => {
    const random = seededRandom(11);
    let sum = 0;
    let squares = 0;
    let fourth = 0;
    let beyond = 0;
    for (let i = 0; i < COUNT; i++) {
      const z = random.normal(0, 1);
      sum += z;
      squares += z * z;
      fourth += z ** 4;
      if (Math.abs(z) > 1.959964) beyond++;
    }
    // Standard errors: 1/√n, √(2/n), √(96/n), √(0.05·0.95/n); four of each.
    expect(Math.abs(sum / COUNT)).toBeLessThan(4 / Math.sqrt(COUNT));
    expect(Math.abs(squares / COUNT - 1)).toBeLessThan(4 * Math.sqrt(2 / COUNT));
    expect(Math.abs(fourth / COUNT - 3)).toBeLessThan(4 * Math.sqrt(96 / COUNT));
    expect(Math.abs(beyond / COUNT - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / COUNT));
  });

  it('fork without moving the stream they come from, by name', () => {
    const one = seededRandom(5);
    const other = seededRandom(5);
    const forked = one.fork('lids');
    for (let i = 0; i < 10; i++) forked.next();
    expect(one.next()).toBe(other.next());
    expect(other.fork('lids').next()).toBe(seededRandom(5).fork('lids').next());
    expect(other.fork('lids').next()).not.toBe(other.fork('room').next());
  });
});
