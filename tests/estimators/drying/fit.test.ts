import { describe, expect, it } from 'vitest';
import { DRAW_COLUMNS, DRAWS, drawUnknowns, standardDraws } from '../../../server/estimators/drying/draws.ts';
import { type FitProblem, fit as fitPosterior } from '../../../server/estimators/drying/fit.ts';
import { normalCdf, normalQuantile } from '../../../server/estimators/drying/normal.ts';
import { BEYOND, NEVER, timeQuantilesOf } from '../../../server/estimators/drying/quantiles.ts';
import { seededUniform } from '../../../server/estimators/drying/random.ts';
import { placeOf, UNKNOWNS } from '../../../server/estimators/drying/unknowns.ts';

/**
 * Linear and Gaussian: r = (A·z − y)/σ with prior N(0, I). The posterior is exactly N(m, C) with C = (AᵀA/σ² + I)⁻¹ and
 * m = C·Aᵀy/σ² (Gelman et al., Bayesian Data Analysis, 3rd ed., eq. 14.4–14.6). Two unknowns, so by hand.
 */
const A = [
  [1, 0.5],
  [0.2, -1],
  [1.5, 0.3],
] as const;
const Y = [0.7, -0.4, 1.1] as const;
const SIGMA = 0.5;

const linear: FitProblem = {
  parameters: 2,
  residuals: 3,
  predictions: 3,
  observationOnly: [false, false],
  simulate(z, predictions) {
    A.forEach(([a, b], i) => {
      predictions[i] = a * z[0]! + b * z[1]!;
    });
  },
  reweigh() {},
  residualsOf(_z, predictions, residuals) {
    Y.forEach((y, i) => {
      residuals[i] = (predictions[i]! - y) / SIGMA;
    });
  },
};

function exactPosterior(): { mean: [number, number]; cov: [number, number, number] } {
  const s = 1 / SIGMA ** 2;
  let h11 = 1;
  let h12 = 0;
  let h22 = 1;
  let g1 = 0;
  let g2 = 0;
  A.forEach(([a, b], i) => {
    h11 += s * a * a;
    h12 += s * a * b;
    h22 += s * b * b;
    g1 += s * a * Y[i]!;
    g2 += s * b * Y[i]!;
  });
  const det = h11 * h22 - h12 * h12;
  return {
    mean: [(h22 * g1 - h12 * g2) / det, (h11 * g2 - h12 * g1) / det],
    cov: [h22 / det, -h12 / det, h11 / det],
  };
}

describe('the fit', () => {
  const answer = fitPosterior(linear, new Float64Array(2), { iterations: 12, toleratedMeanSquare: 1e9 });
  const exact = exactPosterior();

  it('finds the exact posterior of a linear Gaussian problem', () => {
    expect(answer.outcome).toBe('converged');
    expect(answer.z[0]).toBeCloseTo(exact.mean[0], 6);
    expect(answer.z[1]).toBeCloseTo(exact.mean[1], 6);
    // H = L·Lᵀ is the inverse of the exact covariance.
    const [l11, , l21, l22] = answer.lower;
    const h = [l11! * l11!, l11! * l21!, l21! * l21! + l22! * l22!];
    const det = h[0]! * h[2]! - h[1]! * h[1]!;
    expect(h[2]! / det).toBeCloseTo(exact.cov[0], 8);
    expect(-h[1]! / det).toBeCloseTo(exact.cov[1], 8);
    expect(h[0]! / det).toBeCloseTo(exact.cov[2], 8);
  });

  it('draws with the mean and covariance of that posterior, within the error of their number', () => {
    const z = new Float64Array(UNKNOWNS.length);
    const active = ['diffusivity', 'isotherm'] as const;
    let count = 0;
    const sum = [0, 0, 0, 0];
    for (let seed = 0; seed < 50; seed++) {
      const standard = standardDraws(`s${seed}`);
      for (let draw = 0; draw < DRAWS; draw++) {
        drawUnknowns(active, answer.z, answer.lower, standard, draw, z);
        const a = z[placeOf.diffusivity]! - exact.mean[0];
        const b = z[placeOf.isotherm]! - exact.mean[1];
        sum[0]! += a;
        sum[1]! += a * a;
        sum[2]! += a * b;
        sum[3]! += b * b;
        count++;
      }
    }
    // Sd of a variance from n free normals is √(2/n); the antithetic half of them are free: four of those sds.
    const within = 4 * Math.sqrt(4 / count);
    expect(Math.abs(sum[0]! / count)).toBeLessThan(1e-9);
    expect(Math.abs(sum[1]! / count / exact.cov[0] - 1)).toBeLessThan(within);
    expect(Math.abs(sum[3]! / count / exact.cov[2] - 1)).toBeLessThan(within);
    expect(Math.abs(sum[2]! / count - exact.cov[1])).toBeLessThan(
      within * Math.sqrt(exact.cov[0] * exact.cov[2]),
    );
  });

  it('says failed where the predictions are not numbers', () => {
    const broken: FitProblem = { ...linear, simulate: (_z, predictions) => predictions.fill(Number.NaN) };
    expect(fitPosterior(broken, new Float64Array(2), { iterations: 3, toleratedMeanSquare: 1 }).outcome).toBe(
      'failed',
    );
  });
});

describe('chance', () => {
  it('has the normal distribution of the tables', () => {
    // Abramowitz & Stegun table 26.1 and 26.5.
    expect(normalCdf(1)).toBeCloseTo(0.841344746068543, 12);
    expect(normalCdf(-3)).toBeCloseTo(0.00134989803163, 12);
    expect(normalQuantile(0.95)).toBeCloseTo(1.6448536269514722, 12);
    for (const p of [1e-8, 0.001, 0.3, 0.7, 0.9999])
      expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 9);
  });

  it('is uniform, and the same for the same seed', () => {
    const uniform = seededUniform('box/gear/0');
    const again = seededUniform('box/gear/0');
    const bins = new Array<number>(10).fill(0);
    for (let i = 0; i < 10_000; i++) {
      const u = uniform();
      expect(u).toBe(again());
      bins[Math.floor(10 * u)]!++;
    }
    // χ² of 9 degrees of freedom exceeds 27.9 once in a thousand.
    expect(bins.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(27.9);
    expect(standardDraws('a')).not.toEqual(standardDraws('b'));
    expect(standardDraws('a')).toHaveLength(DRAWS * DRAW_COLUMNS);
  });
});

describe('quantiles of times', () => {
  it('rank never after beyond after every time', () => {
    const times = Float64Array.from([
      ...Array(50).keys(),
      ...Array(25).fill(BEYOND),
      ...Array(25).fill(NEVER),
    ]);
    const answer = timeQuantilesOf(times);
    expect(answer.p05).toBeCloseTo(4.95, 6);
    expect(answer.p50).toBeNull();
    expect(answer.reason).toEqual({ p50: 'beyond', p95: 'never' });
  });
});
