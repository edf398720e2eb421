import { failure, type Result, success } from '../errors.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';
import { estimateRegression, type RegressionDesign } from './regression.ts';

/** Tuning constant: 95 % efficient on normal data [Huber1981]. */
const HUBER_K = 1.345;
const MOST_ITERATIONS = 200;
const CONVERGED = 1e-12;

/** A Huber M-estimate of a line: coefficients with the intercept first where fitted. */
export interface HuberSolution {
  readonly coefficients: Float64Array;
  readonly residuals: Float64Array;
  /** What each observation counted for, 1 for all but those far off. */
  readonly weights: Float64Array;
  /** Robust residual standard deviation, 1.4826 × median |e|. */
  readonly scale: number;
}

/**
 * Huber's M-estimate by iteratively reweighted least squares from the least-squares start; the scale is the median
 * absolute residual (about zero) times 1.4826, estimated anew each step [Huber1981; VenablesRipley2002 §6.5].
 * Bounds the pull of a wrong y, not of a wrong x. Fails as `estimateRegression` does, or with `not_converged`.
 */
export function estimateHuber(design: RegressionDesign, y: Float64Array): Result<HuberSolution> {
  let step = estimateRegression(design, y);
  if (!step.ok) return step;
  for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
    const { residuals, coefficients } = step.value;
    const scale = MAD_TO_SD * median(residuals.map(Math.abs));
    if (scale === 0) return success({ coefficients, residuals, weights: ones(y.length), scale });
    const weights = residuals.map((e) => Math.min(1, (HUBER_K * scale) / Math.abs(e)));
    step = estimateRegression(design, y, weights);
    if (!step.ok) return step;
    if (relativeChange(residuals, step.value.residuals) < CONVERGED)
      return success({
        coefficients: step.value.coefficients,
        residuals: step.value.residuals,
        weights,
        scale,
      });
  }
  const text = `The robust fit did not settle in ${MOST_ITERATIONS} steps; use the least-squares fit.`;
  return failure({ code: 'not_converged', source: 'regression', text });
}

const ones = (n: number): Float64Array => new Float64Array(n).fill(1);

function relativeChange(before: Float64Array, after: Float64Array): number {
  let change = 0;
  let size = 0;
  for (let i = 0; i < before.length; i++) {
    change += (before[i] - after[i]) ** 2;
    size += before[i] ** 2;
  }
  return Math.sqrt(change / Math.max(size, Number.MIN_VALUE));
}
