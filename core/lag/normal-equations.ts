/**
 * Solves the small symmetric system A·x = b by Cholesky with a ridge of 1e-12 of the largest diagonal, so that an empty
 * basis column (no ground cut in a window) yields 0 instead of a division by zero.
 * `normal` holds the lower triangle row by row, size × size. For well-scaled systems of a handful of unknowns.
 */
export function solveSymmetric(normal: Float64Array, right: Float64Array, size: number): Float64Array {
  const lower = new Float64Array(size * size);
  let largest = 0;
  for (let i = 0; i < size; i++) largest = Math.max(largest, normal[i * size + i]);
  const ridge = largest * 1e-12 + Number.MIN_VALUE;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = normal[i * size + j] + (i === j ? ridge : 0);
      for (let k = 0; k < j; k++) sum -= lower[i * size + k] * lower[j * size + k];
      lower[i * size + j] = i === j ? Math.sqrt(Math.max(sum, ridge)) : sum / lower[j * size + j];
    }
  }
  const x = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    let sum = right[i];
    for (let k = 0; k < i; k++) sum -= lower[i * size + k] * x[k];
    x[i] = sum / lower[i * size + i];
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i];
    for (let k = i + 1; k < size; k++) sum -= lower[k * size + i] * x[k];
    x[i] = sum / lower[i * size + i];
  }
  return x;
}
