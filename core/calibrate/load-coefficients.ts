/** The coefficients of a load fit at work: beam → mass, and what their uncertainty makes of it. */

/**
 * Coefficients of `k x + zero t + curvature x₂ + moisture xₘ`; those that the model does not have are 0. `xₘ` is beam mass
 * times its moisture above `REFERENCE_MOISTURE_PCT`, as a share. A fit with a test-weight term has `test_weight xₘ` in its
 * place, xₘ then being beam mass times its test weight above the crop's usual one, as a share.
 */
export interface LoadCoefficients {
  /** Gain; 1 when uncalibrated. */
  readonly k: number;
  /** Grain to be added for each second of running. */
  readonly zero_kg_s: number;
  readonly curvature: number;
  /** Change of the gain for grain that is all water; a hundredth of it for each point of moisture. */
  readonly moisture: number;
  /** Change of the gain for grain of twice the usual test weight; only of a fit that has it. */
  readonly test_weight?: number;
}

/** Moisture at which the gain of a fit with a moisture term is `k`, % wet basis. */
export const REFERENCE_MOISTURE_PCT = 15;
/** Number of coefficients that a fit may have, in the order of `LoadCoefficients`. */
export const COEFFICIENTS = 4;

/** One load (or what is known beforehand) behind a fit. */
export interface FittedLoad {
  /** Index of its span in the season's list of loads; −1 for what is none of it. */
  readonly span: number;
  /** What one kilogram more on its scale adds to k, zero error, curvature and moisture term. */
  readonly influence: Float64Array;
  /** Standard deviations of its scale and of the beam's scatter, pooled with what the loads show, kg. */
  readonly scale_sd_kg: number;
  readonly beam_sd_kg: number;
  readonly scale_kg: number;
}

/** Coefficients with what is known of their errors. */
export interface FittedCoefficients extends LoadCoefficients {
  /** Of the coefficients in their order, 4 × 4 by rows; zeros for what the model does not have, all NaN with a single load or none. */
  readonly covariance: Float64Array;
  /** Degrees of freedom of that covariance. */
  readonly degrees_of_freedom: number;
  /** Loads that it rests on. */
  readonly behind: readonly FittedLoad[];
  /** What a gain alone leaves open: how the gain may bend with the fill, about the mean fill of the loads. */
  readonly unfitted: UnfittedBend;
}

/** Standard deviation of a curvature that was not fitted, and the mean fill at which it does nothing; zeros where there is none. */
export interface UnfittedBend {
  readonly curvature_sd: number;
  readonly mean_fill: number;
}

export const NO_BEND: UnfittedBend = { curvature_sd: 0, mean_fill: 0 };

/** Calibrated mass of grain that the beam put at `x_kg` (fill-weighted `x2_kg`, weighted by moisture or test weight `xm_kg`) in `running_s` seconds of running. */
export function applyLoadFit(
  { k, zero_kg_s, curvature, moisture, test_weight = 0 }: LoadCoefficients,
  x_kg: number,
  running_s: number,
  x2_kg: number,
  xm_kg = 0,
): number {
  return k * x_kg + zero_kg_s * running_s + curvature * x2_kg + (moisture + test_weight) * xm_kg;
}

/** Beam mass weighted by its moisture: `x (M − 15)/100`; 0 where the moisture is not known. */
export function moistureWeighted(x_kg: number, moisture_pct: number): number {
  return Number.isNaN(moisture_pct) ? 0 : (x_kg * (moisture_pct - REFERENCE_MOISTURE_PCT)) / 100;
}

/** Beam mass weighted by what the fit's last term asks for: moisture, or test weight (0 where it is not known). */
export function gradeWeighted(
  { test_weight }: LoadCoefficients,
  x_kg: number,
  moisture_pct: number,
  test_weight_share: number | undefined,
): number {
  return test_weight === undefined ? moistureWeighted(x_kg, moisture_pct) : x_kg * (test_weight_share ?? 0);
}

/**
 * Standard error of `applyLoadFit` from the uncertainty of the calibration: `√(aᵀ C a)` with `a = (x, t, x₂, xₘ)`. What all
 * the grain of a machine shares: sum a first for the error of a total. NaN when there is none.
 */
export function loadFitStandardError(
  { covariance: c }: FittedCoefficients,
  x_kg: number,
  running_s: number,
  x2_kg: number,
  xm_kg = 0,
): number {
  const squares = c[0] * x_kg ** 2 + c[5] * running_s ** 2 + c[10] * x2_kg ** 2 + c[15] * xm_kg ** 2;
  const withX = x_kg * (c[1] * running_s + c[2] * x2_kg + c[3] * xm_kg);
  const others = c[6] * running_s * x2_kg + c[7] * running_s * xm_kg + c[11] * x2_kg * xm_kg;
  return Math.sqrt(Math.max(0, squares + 2 * (withX + others)));
}

/** What one kilogram more on the beam adds to the mass where heaps fill the pitch by `mean_fill`: `k + 2·curvature·fill`. */
export function marginalGain({ k, curvature }: LoadCoefficients, mean_fill: number): number {
  return k + 2 * curvature * mean_fill;
}
