/**
 * Weighted linear regression with the diagnostics that a calibration needs.
 *
 * Where there is an intercept, every column and y are taken about their weighted means before anything is squared, so
 * that an offset as large as Unix seconds costs no digits of the slope.
 */
import { failure, type Result, success } from '../errors.ts';
import { weightedMean } from '../stats/moments.ts';
import { tFromTwoSidedP } from '../stats/student-t.ts';
import { solveLeastSquares } from './householder.ts';

/** What y is regressed on: p columns of n elements, with a constant term or through the origin. */
export interface RegressionDesign {
  readonly columns: readonly Float64Array[];
  readonly intercept: 'fitted' | 'none';
}

/** One element an observation in every column of `n`; coefficients are the intercept first, where it is fitted. */
export interface RegressionSolution {
  readonly intercept: 'fitted' | 'none';
  readonly coefficients: Float64Array;
  readonly standard_errors: Float64Array;
  /** Covariance of the coefficients, by rows: `s² (XᵀWX)⁻¹`. */
  readonly covariance: Float64Array;
  /** `s = √(Σwe²/df)`, the residual standard deviation of an observation of weight 1; NaN when df is 0. */
  readonly residual_sd: number;
  readonly degrees_of_freedom: number;
  /**
   * `1 − Σwe²/Σw(y − ȳ)²`; through the origin `1 − Σwe²/Σwy²` (uncentred, as NIST certifies NoInt1), which is not
   * comparable with the other.
   */
  readonly r2: number;
  readonly fitted: Float64Array;
  readonly residuals: Float64Array;
  /** Hat values h; they add up to the number of coefficients. */
  readonly leverage: Float64Array;
  /** Internally studentised: `e √w/(s √(1 − h))`. */
  readonly standardised: Float64Array;
  /**
   * Externally studentised: the same with s from the other observations; follows t with df − 1. NaN where df is below 2
   * or the observation alone fixes a coefficient; infinite when the others fit exactly and this one does not.
   */
  readonly studentised: Float64Array;
  /** Cook's distance `r² h/(p (1 − h))` [Cook1977]. */
  readonly cooks_distance: Float64Array;
  /** `e/(1 − h)`: the residual against the fit without this observation. NaN where that fit does not exist. */
  readonly loo_residuals: Float64Array;
  /** What one more in each y adds to each slope (the intercept left out): rows of `(XᵀWX)⁻¹ XᵀW` about the centre. */
  readonly influence: readonly Float64Array[];
  /** Weighted means about which it was computed: zeros through the origin. */
  readonly centre: { readonly columns: Float64Array; readonly y: number; readonly weight: number };
  /** `(XᵀWX)⁻¹` of the slopes about the centre, by rows: their covariance for a residual variance of 1. */
  readonly inverse_gram: Float64Array;
}

/** A hat value nearer to 1 than this: without that observation there is no fit. */
const LEVERAGE_IS_ONE = 1e-10;

/**
 * Regress `y` on the design, weights inverse to the variance of each y (1 each when absent).
 * Fails with `too_few_observations` or `dependent_columns`.
 * @throws RangeError when lengths differ, an element is not finite, or a weight is not positive.
 */
export function estimateRegression(
  design: RegressionDesign,
  y: Float64Array,
  weights: Float64Array = new Float64Array(y.length).fill(1),
): Result<RegressionSolution> {
  refuseBadInput(design, y, weights);
  const n = y.length;
  const coefficients = design.columns.length + (design.intercept === 'fitted' ? 1 : 0);
  if (n < coefficients) {
    const text = `${n} observations cannot fix ${coefficients} coefficients; at least ${coefficients} are needed.`;
    return failure({ code: 'too_few_observations', source: 'regression', text });
  }
  const centre = centreOf(design, y, weights);
  const roots = weights.map(Math.sqrt);
  const scaled = (column: Float64Array, origin: number) => column.map((x, i) => (x - origin) * roots[i]);
  const qr = solveLeastSquares(
    design.columns.map((column, j) => scaled(column, centre.columns[j])),
    scaled(y, centre.y),
  );
  if (qr === undefined) {
    const text = `One column of the regression is a multiple of the others, so that their effects cannot be told apart.`;
    return failure({ code: 'dependent_columns', source: 'regression', text });
  }
  const leverage =
    centre.weight > 0 ? qr.leverage.map((h, i) => h + weights[i] / centre.weight) : qr.leverage;
  const fitted = y.map((_, i) => at(centre, qr.coefficients, (j) => design.columns[j][i]));
  const residuals = y.map((observed, i) => observed - fitted[i]);
  const squares = sum(residuals, (e, i) => weights[i] * e * e);
  const df = n - coefficients;
  const variance = df > 0 ? squares / df : Number.NaN;
  const covariance = fullCovariance(design, centre, qr.inverseGram).map((c) => c * variance);
  return success({
    intercept: design.intercept,
    coefficients: withIntercept(design, centre, qr.coefficients),
    standard_errors: Float64Array.from({ length: coefficients }, (_, j) =>
      Math.sqrt(covariance[j * coefficients + j]),
    ),
    covariance,
    residual_sd: Math.sqrt(variance),
    degrees_of_freedom: df,
    r2: 1 - squares / sum(y, (observed, i) => weights[i] * (observed - centre.y) ** 2),
    fitted,
    residuals,
    leverage,
    ...diagnostics(residuals, roots, leverage, squares, df, coefficients),
    influence: influenceOf(design, centre, qr.inverseGram, weights),
    centre,
    inverse_gram: qr.inverseGram,
  });
}

/** Value of a fitted line at one row of the design's columns (without the constant). */
export function applyRegression(solution: RegressionSolution, row: ArrayLike<number>): number {
  const slopes = solution.intercept === 'fitted' ? solution.coefficients.subarray(1) : solution.coefficients;
  return at(solution.centre, slopes, (j) => row[j]);
}

/** What a fit says at one row, ± t times its standard error. */
export interface RegressionPrediction {
  readonly fitted: number;
  /** Standard error of the line there. */
  readonly standard_error: number;
  /** Half-width of the interval for the line. */
  readonly confidence_half_width: number;
  /** Half-width of the interval for one new observation. */
  readonly prediction_half_width: number;
}

/**
 * Confidence and prediction interval at one row, `confidence` e.g. 0.95; `weight` is that of the new observation.
 * NaN widths when the fit has no degrees of freedom.
 */
export function predictionFrom(
  solution: RegressionSolution,
  row: ArrayLike<number>,
  { confidence = 0.95, weight = 1 }: { readonly confidence?: number; readonly weight?: number } = {},
): RegressionPrediction {
  const { centre, inverse_gram, residual_sd, degrees_of_freedom } = solution;
  const p = centre.columns.length;
  const off = centre.columns.map((middle, j) => row[j] - middle);
  let spread = centre.weight > 0 ? 1 / centre.weight : 0;
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) spread += off[i] * inverse_gram[i * p + j] * off[j];
  const variance = residual_sd ** 2 * spread;
  const t = degrees_of_freedom > 0 ? tFromTwoSidedP(1 - confidence, degrees_of_freedom) : Number.NaN;
  return {
    fitted: applyRegression(solution, row),
    standard_error: Math.sqrt(variance),
    confidence_half_width: t * Math.sqrt(variance),
    prediction_half_width: t * Math.sqrt(variance + residual_sd ** 2 / weight),
  };
}

type Centre = RegressionSolution['centre'];

function centreOf(design: RegressionDesign, y: Float64Array, weights: Float64Array): Centre {
  if (design.intercept === 'none')
    return { columns: new Float64Array(design.columns.length), y: 0, weight: 0 };
  return {
    columns: Float64Array.from(design.columns, (column) => weightedMean(column, weights)),
    y: weightedMean(y, weights),
    weight: sum(weights, (w) => w),
  };
}

function at(centre: Centre, slopes: Float64Array, element: (j: number) => number): number {
  let total = centre.y;
  for (let j = 0; j < slopes.length; j++) total += slopes[j] * (element(j) - centre.columns[j]);
  return total;
}

function influenceOf(
  { columns }: RegressionDesign,
  centre: Centre,
  inverse_gram: Float64Array,
  weights: Float64Array,
): Float64Array[] {
  return columns.map((_, j) =>
    weights.map((weight, i) =>
      columns.reduce(
        (sum, column, l) =>
          sum + inverse_gram[j * columns.length + l] * (column[i] - centre.columns[l]) * weight,
        0,
      ),
    ),
  );
}

function withIntercept(design: RegressionDesign, centre: Centre, slopes: Float64Array): Float64Array {
  return design.intercept === 'fitted'
    ? Float64Array.of(
        at(centre, slopes, () => 0),
        ...slopes,
      )
    : slopes;
}

/** Covariance of all coefficients for a residual variance of 1. */
function fullCovariance(design: RegressionDesign, centre: Centre, inverse_gram: Float64Array): Float64Array {
  if (design.intercept === 'none') return inverse_gram;
  const p = centre.columns.length;
  const full = new Float64Array((p + 1) ** 2);
  full[0] = 1 / centre.weight;
  for (let i = 0; i < p; i++) {
    let shared = 0;
    for (let j = 0; j < p; j++) {
      full[(i + 1) * (p + 1) + j + 1] = inverse_gram[i * p + j];
      shared -= inverse_gram[i * p + j] * centre.columns[j];
    }
    full[i + 1] = shared;
    full[(i + 1) * (p + 1)] = shared;
    full[0] -= shared * centre.columns[i];
  }
  return full;
}

function diagnostics(
  residuals: Float64Array,
  roots: Float64Array,
  leverage: Float64Array,
  squares: number,
  df: number,
  coefficients: number,
): Pick<RegressionSolution, 'standardised' | 'studentised' | 'cooks_distance' | 'loo_residuals'> {
  const free = leverage.map((h) => (1 - h > LEVERAGE_IS_ONE ? 1 - h : Number.NaN));
  const weighted = residuals.map((e, i) => (e * roots[i]) / Math.sqrt(free[i]));
  const s = df > 0 ? Math.sqrt(squares / df) : Number.NaN;
  const standardised = weighted.map((r) => r / s);
  const studentised = weighted.map((r) =>
    df > 1 ? r / Math.sqrt(Math.max(0, squares - r * r) / (df - 1)) : Number.NaN,
  );
  return {
    standardised,
    studentised,
    cooks_distance: standardised.map((r, i) => (r * r * leverage[i]) / (coefficients * free[i])),
    loo_residuals: residuals.map((e, i) => e / free[i]),
  };
}

function sum(column: Float64Array, term: (element: number, i: number) => number): number {
  let total = 0;
  for (let i = 0; i < column.length; i++) total += term(column[i], i);
  return total;
}

function refuseBadInput(design: RegressionDesign, y: Float64Array, weights: Float64Array): void {
  for (const column of [...design.columns, y, weights]) {
    if (column.length !== y.length)
      throw new RangeError(`A regression needs columns of one length, not ${column.length} and ${y.length}.`);
    const wrong = column.find((x) => !Number.isFinite(x));
    if (wrong !== undefined) throw new RangeError(`A regression needs finite numbers, not ${wrong}.`);
  }
  const bad = weights.find((w) => w <= 0);
  if (bad !== undefined) throw new RangeError(`A regression needs positive weights, not ${bad}.`);
}
