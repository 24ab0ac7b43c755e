/** Cholesky on small dense matrices, row by row in one array. H = L·Lᵀ, L lower triangular. */

/** L into `lower`; 'singular' where H is not positive definite (a NaN in it counts). */
export function factorise(H: Float64Array, n: number, lower: Float64Array): 'factorised' | 'singular' {
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = H[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= lower[i * n + k]! * lower[j * n + k]!;
      if (i === j) {
        if (!(sum > 0)) return 'singular';
        lower[i * n + i] = Math.sqrt(sum);
      } else lower[i * n + j] = sum / lower[j * n + j]!;
    }
  return 'factorised';
}

/** x of L·x = b, in place. */
export function solveLower(lower: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= lower[i * n + k]! * b[k]!;
    b[i] = sum / lower[i * n + i]!;
  }
}

/** x of Lᵀ·x = b, in place. */
export function solveUpper(lower: Float64Array, n: number, b: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < n; k++) sum -= lower[k * n + i]! * b[k]!;
    b[i] = sum / lower[i * n + i]!;
  }
}

/** Diagonal of H⁻¹ = L⁻ᵀ·L⁻¹. */
export function inverseDiagonal(lower: Float64Array, n: number): Float64Array {
  const diagonal = new Float64Array(n);
  const column = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    column.fill(0);
    column[i] = 1;
    solveLower(lower, n, column);
    let sum = 0;
    for (let k = i; k < n; k++) sum += column[k]! * column[k]!;
    diagonal[i] = sum;
  }
  return diagonal;
}
