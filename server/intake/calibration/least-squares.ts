/** Linear least squares for a handful of unknowns: y = Σ bⱼ xⱼ, with the covariance of b. */

export interface LinearFit {
  readonly coefficients: readonly number[];
  /** Of the coefficients, row by row. */
  readonly covariance: readonly (readonly number[])[];
  /** Standard deviation of the residuals in units of their sigma; NaN with as many unknowns as points. */
  readonly residual: number;
}

export interface FitRow {
  readonly x: readonly number[];
  readonly y: number;
  /** Standard uncertainty of y. Without one all points weigh the same, and their scatter tells it. */
  readonly sigma?: number;
}

/** Null where the points do not determine the unknowns. */
export function fitLinear(rows: readonly FitRow[]): LinearFit | null {
  const size = rows[0]?.x.length ?? 0;
  if (size === 0 || rows.length < size) return null;
  const known = rows.every(({ sigma }) => sigma !== undefined);
  const scaled = rows.map(({ x, y, sigma = 1 }) => ({ x: x.map((one) => one / sigma), y: y / sigma }));
  const q = orthogonalise(scaled, size);
  if (!q) return null;
  const { basis, upper } = q;
  const projected = basis.map((column) =>
    dot(
      column,
      scaled.map(({ y }) => y),
    ),
  );
  const coefficients = backSubstitute(upper, projected);
  const inverse = Array.from({ length: size }, (_, j) =>
    backSubstitute(
      upper,
      Array.from({ length: size }, (_, i) => (i === j ? 1 : 0)),
    ),
  );
  const squares = scaled.reduce((sum, { x, y }) => sum + (y - dot(x, coefficients)) ** 2, 0);
  const residual = Math.sqrt(squares / (rows.length - size));
  const scale = known ? 1 : residual ** 2;
  // (XᵀX)⁻¹ = R⁻¹ R⁻ᵀ; `inverse[j]` is column j of R⁻¹.
  const covariance = Array.from({ length: size }, (_, a) =>
    Array.from(
      { length: size },
      (_, b) =>
        scale * inverse.reduce((sum, column) => sum + (column[a] as number) * (column[b] as number), 0),
    ),
  );
  return { coefficients, covariance, residual };
}

/** Variance of Σ bⱼ xⱼ. */
export const varianceAt = (fit: LinearFit, x: readonly number[]): number =>
  x.reduce(
    (sum, xa, a) => sum + x.reduce((inner, xb, b) => inner + xa * xb * (fit.covariance[a]?.[b] as number), 0),
    0,
  );

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, one, i) => sum + one * (b[i] as number), 0);

/** A column this much shorter than it was is made of the others. */
const DEPENDENT = 1e-10;

/** Gram–Schmidt, done twice: plain normal equations would lose half the digits. */
function orthogonalise(
  rows: readonly { readonly x: readonly number[] }[],
  size: number,
): { basis: number[][]; upper: number[][] } | null {
  const basis: number[][] = [];
  const upper = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  for (let j = 0; j < size; j++) {
    let column = rows.map(({ x }) => x[j] as number);
    const before = Math.sqrt(dot(column, column));
    for (let pass = 0; pass < 2; pass++)
      for (const [i, other] of basis.entries()) {
        const share = dot(other, column);
        (upper[i] as number[])[j] = (upper[i]?.[j] as number) + share;
        column = column.map((one, row) => one - share * (other[row] as number));
      }
    const length = Math.sqrt(dot(column, column));
    if (!(length > DEPENDENT * before)) return null;
    (upper[j] as number[])[j] = length;
    basis.push(column.map((one) => one / length));
  }
  return { basis, upper };
}

function backSubstitute(upper: readonly (readonly number[])[], right: readonly number[]): number[] {
  const solved = [...right];
  for (let i = right.length - 1; i >= 0; i--) {
    const row = upper[i] as readonly number[];
    for (let j = i + 1; j < right.length; j++)
      solved[i] = (solved[i] as number) - (row[j] as number) * (solved[j] as number);
    solved[i] = (solved[i] as number) / (row[i] as number);
  }
  return solved;
}
