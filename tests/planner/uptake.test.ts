import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { uptakeOfCylinder, uptakeOfSheet } from '../../server/physics/crank-uptake.ts';

/** Roots of J0 by SciPy (tests/physics/bessel-roots.py). */
const { j0 } = JSON.parse(readFileSync(new URL('../physics/bessel-roots.json', import.meta.url), 'utf8')) as {
  j0: number[];
};

describe('uptake from the first moment on', () => {
  it('meets Crank’s cylinder with SciPy’s roots on both sides of the short-time form', () => {
    // The series needs many roots at short times: what is left after N terms is below (4/π)/(N·α_N)·e^(−α_N²·x).
    for (const x of [0.006, 0.0099, 0.0101, 0.03, 0.1, 0.5, 1]) {
      const series = 1 - j0.reduce((sum, root) => sum + (4 / root ** 2) * Math.exp(-(root ** 2) * x), 0);
      expect(Math.abs(uptakeOfCylinder(x) - series), `x = ${x}`).toBeLessThan(3e-5);
    }
  });

  it('begins as √t: the first per cent in x ≈ (π/16)·0.01²', () => {
    // Crank, eq. 5.27, first term.
    expect(uptakeOfCylinder((Math.PI / 16) * 1e-4)).toBeCloseTo(0.01, 4);
    expect(uptakeOfCylinder(0)).toBe(0);
    expect(uptakeOfCylinder(-1)).toBeNaN();
  });

  it('meets the sheet’s half time of ISO 62, D = 0.049·d²/t50, and Crank’s 95 % at 0.2823', () => {
    expect(uptakeOfSheet(0.04919)).toBeCloseTo(0.5, 3);
    // 1 − (8/π²)·e^(−π²x) = 0.95, by hand.
    expect(uptakeOfSheet(Math.log(8 / (0.05 * Math.PI ** 2)) / Math.PI ** 2)).toBeCloseTo(0.95, 4);
  });

  it('has no step where the forms meet', () => {
    expect(uptakeOfSheet(0.04001) - uptakeOfSheet(0.03999)).toBeLessThan(3e-4);
    expect(uptakeOfCylinder(0.010001) - uptakeOfCylinder(0.009999)).toBeLessThan(4e-5);
  });
});
