/** The inverse of a small symmetric positive definite matrix. */

/** Row by row, `size` × `size`; by Gauss and Jordan, which needs no pivots for such matrices [Higham2002 §10]. Throws RangeError for one that is not positive definite. */
export function symmetricInverse(matrix: Float64Array, size: number): Float64Array {
  if (matrix.length !== size * size)
    throw new RangeError(`${matrix.length} numbers are no ${size} × ${size} matrix`);
  const rest = matrix.slice();
  const inverse = new Float64Array(size * size);
  for (let i = 0; i < size; i++) inverse[i * size + i] = 1;
  for (let k = 0; k < size; k++) {
    const pivot = rest[k * size + k];
    if (!(pivot > 0)) throw new RangeError('the matrix is not positive definite');
    for (let j = 0; j < size; j++) {
      rest[k * size + j] /= pivot;
      inverse[k * size + j] /= pivot;
    }
    for (let i = 0; i < size; i++) {
      const factor = rest[i * size + k];
      if (i === k || factor === 0) continue;
      for (let j = 0; j < size; j++) {
        rest[i * size + j] -= factor * rest[k * size + j];
        inverse[i * size + j] -= factor * inverse[k * size + j];
      }
    }
  }
  return inverse;
}
