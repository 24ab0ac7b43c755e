import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  besselJ,
  besselRoots,
  cylinderFraction,
  cylinderSurfaceFraction,
  surfaceRoots,
  timeOfFraction,
} from '../../server/physics/crank-cylinder.ts';
import { CYLINDER_MODES, cylinderModesFraction } from '../../server/physics/diffusion.ts';

/** Roots by SciPy (bessel-roots.py beside this file). */
const outside = JSON.parse(readFileSync(new URL('./bessel-roots.json', import.meta.url), 'utf8')) as {
  j0: number[];
  surface: Record<string, number[]>;
};

/** Crank, The Mathematics of Diffusion, ch. 5: uptake fraction of a cylinder with its surface held. */
const HELD: readonly (readonly [x: number, fraction: number])[] = [
  [0.002, 0.098908],
  [0.005, 0.154507],
  [0.01, 0.215474],
  [0.03, 0.359769],
  [0.05, 0.452121],
  [0.1, 0.605824],
  [0.2, 0.782148],
  [0.3, 0.877972],
  [0.5, 0.961621],
  [1, 0.99787],
];
/** The same with exchange through the surface, L = h·a/D. */
const EXCHANGE: readonly (readonly [L: number, x: number, fraction: number])[] = [
  [0.1, 0.05, 0.00982],
  [0.1, 1, 0.1774],
  [1, 0.1, 0.15673],
  [1, 1, 0.79665],
  [5, 0.05, 0.25194],
  [5, 0.3, 0.73397],
  [100, 0.05, 0.43743],
  [100, 0.5, 0.95856],
];
const TIMES: readonly (readonly [fraction: number, x: number])[] = [
  [0.25, 0.013686],
  [0.5, 0.063058],
  [0.75, 0.176385],
  [0.95, 0.454261],
  [0.99, 0.732556],
];

describe('a cylinder that takes up or gives off water', () => {
  const roots = besselRoots(60);

  it('has the Bessel roots that SciPy finds', () => {
    for (const [n, root] of outside.j0.entries()) expect(Math.abs(roots[n]! - root)).toBeLessThan(1e-10);
    expect(besselJ(1, 2.404825557695773)).toBeCloseTo(0.5191474972894669, 12);
    for (const [L, expected] of Object.entries(outside.surface)) {
      const mine = surfaceRoots(Number(L), expected.length);
      for (const [n, root] of expected.entries()) expect(Math.abs(mine[n]! - root)).toBeLessThan(1e-9);
    }
  });

  it('follows Crank with its surface held, to 1e-4', () => {
    for (const [x, fraction] of HELD)
      expect(Math.abs(cylinderFraction(x, roots) - fraction)).toBeLessThan(1e-4);
    for (const [fraction, x] of TIMES)
      expect(Math.abs(timeOfFraction(fraction, (at) => cylinderFraction(at, roots)) - x)).toBeLessThan(1e-4);
  });

  it('follows Crank with exchange through the surface, to 5e-4', () => {
    for (const [L, x, fraction] of EXCHANGE)
      expect(Math.abs(cylinderSurfaceFraction(x, L, surfaceRoots(L, 40)) - fraction)).toBeLessThan(5e-4);
  });

  it('is kept to 0.035 by three modes from the first hundredth on, and to 1e-3 from x = 0.1', () => {
    const total = CYLINDER_MODES.reduce((sum, mode) => sum + mode.share, 0);
    expect(total).toBeCloseTo(1, 6);
    for (const [x, fraction] of HELD) {
      if (x < 0.01) continue;
      expect(Math.abs(cylinderModesFraction(x) - fraction)).toBeLessThan(x < 0.1 ? 0.035 : 1e-3);
    }
  });
});
