/** Errors of several machines' antenna offsets from differences to which each adds a known multiple of its own. */
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** y = level + Σ factor · error of the machine, metres. */
export interface OffsetEvidence {
  readonly y_m: number;
  readonly parts: readonly { readonly machine: number; readonly factor: number }[];
}

export interface OffsetError {
  /** True offset less the entered one. */
  readonly error_m: number;
  readonly se_m: number;
  /** Pieces of evidence that the machine has a part in. */
  readonly count: number;
}

/** Nothing that people drive by is evener than this, m. */
const LEAST_SPREAD_M = 0.02;
/** What is known beforehand: offsets are wrong by no more than this. It decides where the evidence says nothing. Ours, m. */
const PRIOR_SE_M = 20;
const ROUNDS = 15;
/** Residuals beyond so many deviations are weighed down [Huber 1964]. */
const HUBER = 1.345;

/**
 * Robust least squares over all machines 0 … `machines` − 1; with `level: 'free'` the evidence has a common level of its own,
 * with `'zero'` it has none. What the evidence cannot tell comes out with a standard error of metres.
 */
export function estimateOffsets(
  evidence: readonly OffsetEvidence[],
  machines: number,
  level: 'free' | 'zero',
): OffsetError[] {
  const n = machines + (level === 'free' ? 1 : 0);
  const rows = evidence.map(({ parts }) => {
    const row = new Float64Array(n);
    for (const { machine, factor } of parts) row[machine] += factor;
    if (level === 'free') row[machines] = 1;
    return row;
  });
  let solution = new Float64Array(n);
  if (level === 'free') solution[machines] = median(Float64Array.from(evidence, ({ y_m }) => y_m)) || 0;
  let inverse: Float64Array[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const residual_m = Float64Array.from(evidence, ({ y_m }, k) => y_m - dot(rows[k], solution));
    const spread_m = Math.max(LEAST_SPREAD_M, MAD_TO_SD * (median(residual_m.map(Math.abs)) || 0));
    const normal = Array.from({ length: n }, (_, i) => {
      const row = new Float64Array(n);
      row[i] = (spread_m / PRIOR_SE_M) ** 2;
      return row;
    });
    const right = new Float64Array(n);
    for (let k = 0; k < rows.length; k++) {
      const weight = Math.min(1, (HUBER * spread_m) / Math.abs(residual_m[k] || Number.MIN_VALUE));
      for (let i = 0; i < n; i++) {
        right[i] += weight * rows[k][i] * evidence[k].y_m;
        for (let j = 0; j < n; j++) normal[i][j] += weight * rows[k][i] * rows[k][j];
      }
    }
    inverse = inverseOf(normal);
    solution = Float64Array.from(inverse, (row) => dot(row, right));
    for (let i = 0; i < n; i++) inverse[i][i] *= spread_m ** 2;
  }
  return Array.from({ length: machines }, (_, m) => ({
    error_m: solution[m],
    se_m: Math.sqrt(inverse[m][m]),
    count: rows.filter((row) => row[m] !== 0).length,
  }));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

/** Of a small symmetric positive definite matrix, by Gauss and Jordan without pivots. */
function inverseOf(matrix: readonly Float64Array[]): Float64Array[] {
  const n = matrix.length;
  const left = matrix.map((row) => row.slice());
  const right = matrix.map((_, i) => Float64Array.from({ length: n }, (_, j) => (i === j ? 1 : 0)));
  for (let p = 0; p < n; p++) {
    const pivot = left[p][p];
    for (let j = 0; j < n; j++) {
      left[p][j] /= pivot;
      right[p][j] /= pivot;
    }
    for (let i = 0; i < n; i++) {
      const factor = left[i][p];
      if (i === p || factor === 0) continue;
      for (let j = 0; j < n; j++) {
        left[i][j] -= factor * left[p][j];
        right[i][j] -= factor * right[p][j];
      }
    }
  }
  return right;
}
