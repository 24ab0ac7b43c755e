/**
 * The normal distribution: Φ, its inverse, and draws from a seeded generator.
 *
 * Sources: Φ by G. West, "Better approximations to cumulative normal functions", Wilmott 2005 (after Hart 1968, double
 * precision); Φ⁻¹ by M. Wichura, algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477, relative 1e-16.
 */

/** Φ(x). */
export function normalCdf(x: number): number {
  const z = Math.abs(x);
  if (z > 37) return x > 0 ? 1 : 0;
  const exponential = Math.exp((-z * z) / 2);
  let tail: number;
  if (z < 7.07106781186547) {
    let above = 3.52624965998911e-2 * z + 0.700383064443688;
    above = above * z + 6.37396220353165;
    above = above * z + 33.912866078383;
    above = above * z + 112.079291497871;
    above = above * z + 221.213596169931;
    above = above * z + 220.206867912376;
    let below = 8.83883476483184e-2 * z + 1.75566716318264;
    below = below * z + 16.064177579207;
    below = below * z + 86.7807322029461;
    below = below * z + 296.564248779674;
    below = below * z + 637.333633378831;
    below = below * z + 793.826512519948;
    below = below * z + 440.413735824752;
    tail = (exponential * above) / below;
  } else {
    const continued = z + 1 / (z + 2 / (z + 3 / (z + 4 / (z + 0.65))));
    tail = exponential / (continued * 2.506628274631);
  }
  return x > 0 ? 1 - tail : tail;
}

const horner = (x: number, coefficients: readonly number[]): number => {
  let sum = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) sum = sum * x + coefficients[i]!;
  return sum;
};

const A = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987,
  67265.7709270087, 33430.57558358813, 2509.0809287301227,
];
const B = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
  28729.085735721943, 5226.495278852546,
];
const C = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
  0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
];
const D = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
];
const E = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const F = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133,
  1.8463183175100548e-5, 1.421511758316446e-7, 2.0442631033899397e-15,
];

/** Φ⁻¹(p), 0 < p < 1; infinite at the ends, NaN outside. */
export function normalQuantile(p: number): number {
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * horner(r, A)) / horner(r, B);
  }
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const tail = r <= 5 ? horner(r - 1.6, C) / horner(r - 1.6, D) : horner(r - 5, E) / horner(r - 5, F);
  return q < 0 ? -tail : tail;
}
