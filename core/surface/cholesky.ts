/** Symmetric positive definite systems, small and solved a hundred thousand times [GolubVanLoan2013 §4.2]. */

/** A pivot below this share of its diagonal element is nothing but rounding. */
const PIVOT_SHARE = 1e-12;

/**
 * Replaces the lower triangle of the leading n × n part of `matrix` (by rows, `stride` apart) with its factor L, with the
 * inverses of L's diagonal on the diagonal. Answers false, the matrix then spoilt, when it is not positive definite.
 */
export function factorCholesky(matrix: Float64Array, n: number, stride: number): boolean {
  for (let i = 0; i < n; i++) {
    const rowI = i * stride;
    for (let j = 0; j < i; j++) {
      const rowJ = j * stride;
      let sum = matrix[rowI + j];
      for (let k = 0; k < j; k++) sum -= matrix[rowI + k] * matrix[rowJ + k];
      matrix[rowI + j] = sum * matrix[rowJ + j];
    }
    let pivot = matrix[rowI + i];
    const least = PIVOT_SHARE * pivot;
    for (let k = 0; k < i; k++) pivot -= matrix[rowI + k] ** 2;
    if (!(pivot > least)) return false;
    matrix[rowI + i] = 1 / Math.sqrt(pivot);
  }
  return true;
}

/** Solves `L y = b` in place, L as `factorCholesky` leaves it. */
export function solveLower(factor: Float64Array, n: number, stride: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const row = i * stride;
    let sum = b[i];
    for (let k = 0; k < i; k++) sum -= factor[row + k] * b[k];
    b[i] = sum * factor[row + i];
  }
}

/** Solves `Lᵀ x = b` in place. */
export function solveUpper(factor: Float64Array, n: number, stride: number, b: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    const sum = b[i] * factor[i * stride + i];
    b[i] = sum;
    const row = i * stride;
    for (let k = 0; k < i; k++) b[k] -= factor[row + k] * sum;
  }
}
