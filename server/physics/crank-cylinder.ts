/**
 * Crank's cylinder in full: the series that the few modes of diffusion.ts are judged by.
 *
 * Letters: x = D·t/a², αₙ roots of J0, L = h·a/D (surface exchange against inner diffusion), βₙ roots of
 * β·J1(β) = L·J0(β). Source: J. Crank, The Mathematics of Diffusion, 2nd ed., equations 5.23 and 5.49.
 */

/**
 * Jₙ(z) = (1/π)∫₀^π cos(nθ − z·sin θ) dθ (Abramowitz & Stegun 9.1.21). The trapezoid on a periodic integrand converges
 * geometrically once it has more points than z: with 400 it is exact to rounding for |z| < 300; NaN beyond.
 */
export function besselJ(order: 0 | 1, z: number): number {
  if (!(Math.abs(z) < 300)) return Number.NaN;
  const points = 400;
  let sum = 0;
  for (let i = 0; i < points; i++) {
    const theta = (2 * Math.PI * i) / points;
    sum += Math.cos(order * theta - z * Math.sin(theta));
  }
  return sum / points;
}

/** Bisection: brackets are known, and a derivative would be one more thing to get wrong. */
function rootBetween(low: number, high: number, f: (z: number) => number): number {
  const sign = Math.sign(f(low));
  for (let step = 0; step < 60; step++) {
    const middle = 0.5 * (low + high);
    if (Math.sign(f(middle)) === sign) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** αₙ, n = 1…count (count ≤ 90): roots of J0, which lie near (n − ¼)π. */
export function besselRoots(count: number): number[] {
  const roots: number[] = [];
  for (let n = 1; n <= count; n++) {
    const near = (n - 0.25) * Math.PI;
    roots.push(rootBetween(near - 0.5, near + 0.5, (z) => besselJ(0, z)));
  }
  return roots;
}

/** βₙ: one root lies between neighbouring roots of J1, that is between (n − 1)th and nth maximum of |J0|. */
export function surfaceRoots(L: number, count: number): number[] {
  const f = (z: number) => z * besselJ(1, z) - L * besselJ(0, z);
  const roots: number[] = [];
  let low = 1e-9;
  for (let n = 1; n <= count; n++) {
    const near = (n + 0.25) * Math.PI;
    const high = rootBetween(near - 0.6, near + 0.6, (z) => besselJ(1, z));
    roots.push(rootBetween(low, high, f));
    low = high;
  }
  return roots;
}

/** M_t/M_∞ = 1 − Σ (4/αₙ²)·exp(−αₙ²x), surface held. For x < 0.002 hand in more than 60 roots. */
export function cylinderFraction(x: number, roots: readonly number[]): number {
  let rest = 0;
  for (const alpha of roots) rest += (4 / (alpha * alpha)) * Math.exp(-alpha * alpha * x);
  return 1 - rest;
}

/** M_t/M_∞ = 1 − Σ 4L²/[β²(β² + L²)]·exp(−β²x), exchange through the surface. */
export function cylinderSurfaceFraction(x: number, L: number, roots: readonly number[]): number {
  let rest = 0;
  for (const beta of roots) {
    const square = beta * beta;
    rest += ((4 * L * L) / (square * (square + L * L))) * Math.exp(-square * x);
  }
  return 1 - rest;
}

/** x at which a rising fraction is reached, by bisection over 0…100. */
export function timeOfFraction(fraction: number, of: (x: number) => number): number {
  return rootBetween(0, 100, (x) => of(x) - fraction);
}
