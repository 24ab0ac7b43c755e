import { describe, expect, it } from 'vitest';
import { fitParkIsotherm, parkActivity, parkMoisture } from '../../simulators/park-isotherm.ts';
import { activityOver, drawPolymer, equilibriumWtPercent } from '../../simulators/polymer-draw.ts';
import { MATERIALS, NOMINAL_POLYMERS } from '../../simulators/polymers.ts';
import { seededRandom } from '../../simulators/random.ts';

const SEEDS = 400;

describe('simulated polymers', () => {
  it('rise with humidity in every draw, and pass their points at 50 %RH', () => {
    for (const material of MATERIALS) {
      for (let seed = 0; seed < 100; seed++) {
        const { isotherm } = drawPolymer(material, 70, seededRandom(seed), { isothermScale: 1 });
        let before = 0;
        let falls = 0;
        for (let a = 0.02; a <= 1; a += 0.02) {
          const w = parkMoisture(isotherm, a);
          if (!(w > before)) falls++;
          before = w;
        }
        expect(falls, `${material}, seed ${seed}`).toBe(0);
        const at50 = parkMoisture(isotherm, 0.5) / NOMINAL_POLYMERS[material].at50WtPercent;
        expect(at50).toBeGreaterThan(0.94);
        expect(at50).toBeLessThan(1.06);
      }
    }
  });

  it('polyamide 6 takes what its makers publish: 3.5 % at 60 %RH and 8.3 % at 95 %RH, 23 °C', () => {
    // A moulder's technical page and a moisture analyst's table; ±0.4 and ±0.8 for grade and crystallinity.
    const isotherm = fitParkIsotherm(4.97, 2.7, 9.5, 6, 3.2);
    expect(Math.abs(parkMoisture(isotherm, 0.6) - 3.5)).toBeLessThan(0.4);
    expect(Math.abs(parkMoisture(isotherm, 0.95) - 8.3)).toBeLessThan(0.8);
  });

  it('ABS takes 0.05 % per 10 %RH', () => {
    // Materials 2023 16(3) 938, filament.
    const isotherm = fitParkIsotherm(0.5, 0.25, 0.5, 6, 4);
    for (const rh of [0.1, 0.2, 0.4]) expect(parkMoisture(isotherm, rh)).toBeCloseTo(0.5 * rh, 2);
  });

  it('spread as stated: isotherm 0.20 and D 0.45 in the logarithm, slope at 5 %RH × 0.8–1.5, hysteresis 10–20 %', () => {
    const scales: number[] = [];
    const diffusivities: number[] = [];
    const slopes: number[] = [];
    for (let seed = 0; seed < SEEDS; seed++) {
      const polymer = drawPolymer('pa6', 80, seededRandom(seed));
      scales.push(Math.log(parkMoisture(polymer.isotherm, 0.5) / 2.7));
      diffusivities.push(Math.log(polymer.dryDiffusivityM2PerS));
      slopes.push(
        parkMoisture(polymer.isotherm, 0.05) / 0.05 / 4.97 / (parkMoisture(polymer.isotherm, 0.5) / 2.7),
      );
      expect(polymer.hysteresis).toBeGreaterThanOrEqual(0.1);
      expect(polymer.hysteresis).toBeLessThanOrEqual(0.2);
    }
    const sd = (x: number[]): number => {
      const mean = x.reduce((a, b) => a + b) / x.length;
      return Math.sqrt(x.reduce((sum, v) => sum + (v - mean) ** 2, 0) / x.length);
    };
    // Four standard errors of a standard deviation: 4·sd/√(2n).
    expect(Math.abs(sd(scales) - 0.2)).toBeLessThan((4 * 0.2) / Math.sqrt(2 * SEEDS) + 0.01);
    expect(Math.abs(sd(diffusivities) - 0.45)).toBeLessThan((4 * 0.45) / Math.sqrt(2 * SEEDS));
    expect(Math.min(...slopes)).toBeGreaterThan(0.78);
    expect(Math.max(...slopes)).toBeLessThan(1.54);
    expect(Math.max(...slopes) - Math.min(...slopes)).toBeGreaterThan(0.6);
  });

  it('hold more when coming from wetter, and the inverse finds the air back', () => {
    const polymer = drawPolymer('pa12', 80, seededRandom(2), { hysteresis: 0.15 });
    for (const a of [0.02, 0.3, 0.8]) {
      const drying = equilibriumWtPercent(polymer, 60, a, 1);
      const wetting = equilibriumWtPercent(polymer, 60, a, 0);
      expect(drying / wetting).toBeCloseTo(1.075 / 0.925, 6);
      expect(activityOver(polymer, 60, drying, 1)).toBeCloseTo(a, 9);
      expect(parkActivity(polymer.isotherm, parkMoisture(polymer.isotherm, a))).toBeCloseTo(a, 9);
    }
  });
});
