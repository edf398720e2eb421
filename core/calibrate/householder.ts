/** Least squares by Householder QR [GolubVanLoan2013 §5.2-5.3], for the few columns of a calibration. */

/** `min ‖X β − y‖` solved, with what diagnostics need. */
export interface QrSolution {
  readonly coefficients: Float64Array;
  /** `(XᵀX)⁻¹`, p × p by rows. */
  readonly inverseGram: Float64Array;
  /** Diagonal of `X (XᵀX)⁻¹ Xᵀ`, one an observation. */
  readonly leverage: Float64Array;
}

/** A column whose part across the others is below this share of its length says nothing of its own. */
const RANK_TOLERANCE = 1e-11;

/**
 * Solve the least-squares problem of `columns` (p of n elements) and `y`. Every column is scaled to unit length
 * first, so that the units of a column (x² of 9e12 beside x of 3e6) neither cost digits nor hide a dependence.
 * `undefined` when the columns are dependent or there are fewer observations than columns.
 */
export function solveLeastSquares(columns: readonly Float64Array[], y: Float64Array): QrSolution | undefined {
  const p = columns.length;
  if (y.length < p) return undefined;
  const scales = Float64Array.from(columns, (column) => lengthOf(column) || 1);
  const work = columns.map((column, j) => column.map((x) => x / scales[j]));
  const rotated = y.slice();
  const diagonal = new Float64Array(p);
  const reflectors: Float64Array[] = [];
  for (let j = 0; j < p; j++) {
    const { reflector, length } = reflectorFor(work[j], j);
    if (Math.abs(length) < RANK_TOLERANCE) return undefined;
    diagonal[j] = length;
    reflectors.push(reflector);
    for (let k = j + 1; k < p; k++) reflect(work[k], reflector, j);
    reflect(rotated, reflector, j);
  }
  const inverse = inverseUpper(work, diagonal);
  return {
    coefficients: Float64Array.from(columns, (_, j) => rowDot(inverse, j, rotated) / scales[j]),
    inverseGram: gramOfInverse(inverse, scales),
    leverage: leverageOf(reflectors, y.length),
  };
}

/** Reflector that sends `column[from..]` to `length` times the first axis (of unit norm times √2). */
function reflectorFor(column: Float64Array, from: number): { reflector: Float64Array; length: number } {
  const reflector = new Float64Array(column.length);
  reflector.set(column.subarray(from), from);
  const norm = lengthOf(reflector);
  const length = column[from] > 0 ? -norm : norm;
  reflector[from] -= length;
  const size = lengthOf(reflector);
  if (size > 0) for (let i = from; i < reflector.length; i++) reflector[i] *= Math.SQRT2 / size;
  return { reflector, length };
}

function reflect(column: Float64Array, reflector: Float64Array, from: number): void {
  let along = 0;
  for (let i = from; i < column.length; i++) along += reflector[i] * column[i];
  for (let i = from; i < column.length; i++) column[i] -= along * reflector[i];
}

/** Rows of R⁻¹, where R has `diagonal` and above it the leading elements of `work`'s columns. */
function inverseUpper(work: readonly Float64Array[], diagonal: Float64Array): Float64Array[] {
  const p = diagonal.length;
  const inverse = Array.from({ length: p }, () => new Float64Array(p));
  for (let k = 0; k < p; k++) {
    inverse[k][k] = 1 / diagonal[k];
    for (let j = k - 1; j >= 0; j--) {
      let sum = 0;
      for (let m = j + 1; m <= k; m++) sum += work[m][j] * inverse[m][k];
      inverse[j][k] = -sum / diagonal[j];
    }
  }
  return inverse;
}

function rowDot(rows: readonly Float64Array[], j: number, column: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < rows.length; k++) sum += rows[j][k] * column[k];
  return sum;
}

/** `R⁻¹ R⁻ᵀ` brought back to the columns' own units. */
function gramOfInverse(inverse: readonly Float64Array[], scales: Float64Array): Float64Array {
  const p = scales.length;
  const gram = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let j = 0; j < p; j++) gram[i * p + j] = rowDot(inverse, i, inverse[j]) / (scales[i] * scales[j]);
  return gram;
}

/** Squared length of each row of the thin Q: unit vectors sent back through the reflectors. */
function leverageOf(reflectors: readonly Float64Array[], n: number): Float64Array {
  const leverage = new Float64Array(n);
  for (let j = 0; j < reflectors.length; j++) {
    const column = new Float64Array(n);
    column[j] = 1;
    for (let k = j; k >= 0; k--) reflect(column, reflectors[k], k);
    for (let i = 0; i < n; i++) leverage[i] += column[i] ** 2;
  }
  return leverage;
}

/** Euclidean length, safe from overflow. */
function lengthOf(column: Float64Array): number {
  let largest = 0;
  for (const x of column) largest = Math.max(largest, Math.abs(x));
  if (largest === 0) return 0;
  let squares = 0;
  for (const x of column) squares += (x / largest) ** 2;
  return largest * Math.sqrt(squares);
}
