import { describe, expect, it } from 'vitest';
import { cutRings, ringSolver, sectionMean } from '../../simulators/filament-rings.ts';

/**
 * M_t/M_∞ of a cylinder whose surface is held, by x = D·t/a²: Crank, The Mathematics of Diffusion, 2nd ed. 1975,
 * eq. 5.23, 1 − Σ 4/α_n²·exp(−α_n²·x), summed with the zeros of J0 to 50 terms (short times: his eq. 5.25).
 */
const CRANK: readonly (readonly [x: number, fraction: number])[] = [
  [0.002, 0.098908],
  [0.01, 0.215474],
  [0.05, 0.452121],
  [0.1, 0.605824],
  [0.2, 0.782148],
  [0.3, 0.877972],
  [0.5, 0.961621],
  [1.0, 0.99787],
];
const RADIUS_M = 0.875e-3;
const D = 1e-11;
const START = 2.5;
const SURFACE = 0.1;

function lossAt(ringCount: number, steps: number, x: number): number {
  const rings = cutRings(ringCount, RADIUS_M);
  const solver = ringSolver(rings, 1);
  const content = new Float64Array(ringCount).fill(START);
  const dtS = (x * RADIUS_M ** 2) / D / steps;
  for (let i = 0; i < steps; i++) {
    solver.eliminate(content, 0, D, 0, dtS);
    solver.substitute(content, 0, SURFACE);
  }
  return (START - sectionMean(rings, content, 0)) / (START - SURFACE);
}

describe('filament rings', () => {
  it('follow the published cylinder to 1e-3 once refined', () => {
    for (const [x, fraction] of CRANK) {
      expect(Math.abs(lossAt(60, 4000, x) - fraction), `x = ${x}`).toBeLessThan(1e-3);
    }
  });

  it('follow it to 1.5 % of the whole with the rings and steps of a run', () => {
    // 10 rings, 10 s steps: x = 0.05 takes 3829 s at this D.
    for (const [x, fraction] of CRANK) {
      const steps = Math.max(1, Math.round((x * RADIUS_M ** 2) / D / 10));
      expect(Math.abs(lossAt(10, steps, x) - fraction), `x = ${x}`).toBeLessThan(0.015);
    }
  });

  it('lose exactly what they say they lose', () => {
    const rings = cutRings(10, RADIUS_M);
    const solver = ringSolver(rings, 2);
    const content = new Float64Array(20).fill(START);
    let given = 0;
    for (let i = 0; i < 500; i++) {
      solver.eliminate(content, 1, D, 0.1, 10);
      given += 10 * (solver.rate0[1]! - solver.rate1[1]! * SURFACE);
      solver.substitute(content, 1, SURFACE);
    }
    expect(given).toBeGreaterThan(0.5);
    expect(Math.abs(START - sectionMean(rings, content, 1) - given)).toBeLessThan(1e-12 * START);
    // The neighbour in the same array is not touched.
    expect(sectionMean(rings, content, 0)).toBeCloseTo(START, 12);
  });

  it('dry faster where water plasticises the polymer', () => {
    const rings = cutRings(10, RADIUS_M);
    const lost = [0, 0.25].map((perWt) => {
      const solver = ringSolver(rings, 1);
      const content = new Float64Array(10).fill(START);
      for (let i = 0; i < 360; i++) {
        solver.eliminate(content, 0, D, perWt, 10);
        solver.substitute(content, 0, 0);
      }
      return START - sectionMean(rings, content, 0);
    });
    expect(lost[1]!).toBeGreaterThan(1.1 * lost[0]!);
  });
});
