/** The coefficients of a load fit at work: beam → mass, and what their uncertainty makes of it. */

/** Coefficients of `k x + zero t + curvature x₂`; those that the model does not have are 0. */
export interface LoadCoefficients {
  /** Gain; 1 when uncalibrated. */
  readonly k: number;
  /** Grain to be added for each second of running. */
  readonly zero_kg_s: number;
  readonly curvature: number;
}

/** Coefficients with what is known of their errors. */
export interface FittedCoefficients extends LoadCoefficients {
  /** Of k, zero error and curvature, 3 × 3 by rows; zeros for what the model does not have, all NaN with a single load or none. */
  readonly covariance: Float64Array;
}

/** Calibrated mass of grain that the beam put at `x_kg` (fill-weighted: `x2_kg`) in `running_s` seconds of running. */
export function applyLoadFit(
  { k, zero_kg_s, curvature }: LoadCoefficients,
  x_kg: number,
  running_s: number,
  x2_kg: number,
): number {
  return k * x_kg + zero_kg_s * running_s + curvature * x2_kg;
}

/**
 * Standard error of `applyLoadFit` from the uncertainty of the calibration: `√(aᵀ C a)` with `a = (x, t, x₂)`. What all
 * the grain of a machine shares: sum x, t and x₂ first for the error of a total. NaN when there is none.
 */
export function loadFitStandardError(
  { covariance: c }: FittedCoefficients,
  x_kg: number,
  running_s: number,
  x2_kg: number,
): number {
  const squares = c[0] * x_kg ** 2 + c[4] * running_s ** 2 + c[8] * x2_kg ** 2;
  const products = c[1] * x_kg * running_s + c[2] * x_kg * x2_kg + c[5] * running_s * x2_kg;
  return Math.sqrt(Math.max(0, squares + 2 * products));
}

/** What one kilogram more on the beam adds to the mass where heaps fill the pitch by `mean_fill`: `k + 2·curvature·fill`. */
export function marginalGain({ k, curvature }: LoadCoefficients, mean_fill: number): number {
  return k + 2 * curvature * mean_fill;
}
