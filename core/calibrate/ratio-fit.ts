/**
 * The load models seen as ratios. Dividing `W = k x + b y` by x gives `W/x = k + b (y/x)`: the ratio of scale to beam is
 * constant when there is a gain only, a straight line in the inverse of the flow (y is running time) when there is a zero
 * error, and one in the mean fill (y is fill-weighted beam mass) when the gain bends with the height of heaps. Equal
 * relative scatter becomes equal scatter, and loads of any size can be compared.
 */
import { CALIBRATION_MODELS, type CalibrationModel } from '../calibration-sheet.ts';

/** What one load says, one element each a load. */
export interface LoadRatios {
  /** Scale mass over beam mass. */
  readonly ratio: Float64Array;
  /** Beam mass, kg. */
  readonly beam_kg: Float64Array;
  /** Running time over beam mass, s/kg. */
  readonly inverse_flow_s_kg: Float64Array;
  /** Fill-weighted beam mass over beam mass; empty where some load's log does not show heaps. */
  readonly mean_fill: Float64Array;
  /** Moisture-weighted beam mass over beam mass; empty where the moisture of some load is not known. */
  readonly moisture_share: Float64Array;
  /** Test weight over the crop's usual one, less 1; empty where that of some load is not known. */
  readonly test_weight_share: Float64Array;
  /** Expected standard deviation of `ratio`. */
  readonly ratio_sigma: Float64Array;
}

/** Gain only; gain and zero error; gain that changes in proportion to the fill, the moisture or the test weight. */
export const LOAD_MODELS = CALIBRATION_MODELS;
export type LoadModel = CalibrationModel;

/** A line through the ratios of some loads. */
export interface RatioFit {
  readonly model: LoadModel;
  readonly k: number;
  /** Zero error in kg/s, or curvature; 0 for a gain only. */
  readonly slope: number;
  /** Loads that it was fitted to. */
  readonly n: number;
  readonly coefficients: number;
  /** Squared residuals in units of the expected standard deviation. */
  readonly chi_square: number;
  readonly weight: number;
  /** Weighted mean of the predictor, and the weighted sum of squares about it; 0 for a gain only. */
  readonly centre: number;
  readonly spread: number;
}

/** Predictors that differ by less than this share of themselves cannot tell a second coefficient from a gain. */
const LEAST_SPREAD = 1e-6;

/** What the second coefficient of a model is multiplied with, one element a load; empty where there is none. */
export function predictorOf(loads: LoadRatios, model: LoadModel): Float64Array {
  if (model === 'gain_zero') return loads.inverse_flow_s_kg;
  if (model === 'gain_curvature') return loads.mean_fill;
  if (model === 'gain_test_weight') return loads.test_weight_share;
  return model === 'gain_moisture' ? loads.moisture_share : new Float64Array();
}

/**
 * Weighted least squares over the loads whose `left_out` is 0. `undefined` when there are fewer loads than
 * coefficients, when a second coefficient's predictors are all alike, or when they are not known.
 */
export function fitRatios(loads: LoadRatios, left_out: Uint8Array, model: LoadModel): RatioFit | undefined {
  const { ratio, ratio_sigma } = loads;
  const coefficients = model === 'gain' ? 1 : 2;
  const predictor = model === 'gain' ? new Float64Array(ratio.length) : predictorOf(loads, model);
  if (predictor.length < ratio.length) return undefined;
  const weights = ratio_sigma.map((sigma, i) => (left_out[i] === 0 ? 1 / (sigma * sigma) : 0));
  let n = 0;
  let weight = 0;
  let centre = 0;
  let mean_ratio = 0;
  for (let i = 0; i < weights.length; i++) {
    if (weights[i] > 0) n++;
    weight += weights[i];
    centre += weights[i] * predictor[i];
    mean_ratio += weights[i] * ratio[i];
  }
  if (n < coefficients) return undefined;
  centre /= weight;
  mean_ratio /= weight;
  let spread = 0;
  let along = 0;
  let squares = 0;
  for (let i = 0; i < weights.length; i++) {
    const off = predictor[i] - centre;
    const above = ratio[i] - mean_ratio;
    spread += weights[i] * off * off;
    along += weights[i] * off * above;
    squares += weights[i] * above * above;
  }
  if (coefficients === 2 && spread <= weight * (LEAST_SPREAD * (centre === 0 ? 1 : centre)) ** 2)
    return undefined;
  const slope = coefficients === 2 ? along / spread : 0;
  const k = mean_ratio - slope * centre;
  const chi_square = Math.max(0, squares - slope * along);
  return { model, k, slope, n, coefficients, chi_square, weight, centre, spread };
}

/** Ratio that a fit expects of load `i`. */
export function expectedRatio(fit: RatioFit, loads: LoadRatios, i: number): number {
  return fit.coefficients === 2 ? fit.k + fit.slope * predictorOf(loads, fit.model)[i] : fit.k;
}

/** Variance of `expectedRatio` where the expected standard deviations are the true ones. */
export function expectedRatioVariance(fit: RatioFit, loads: LoadRatios, i: number): number {
  const along =
    fit.coefficients === 2 ? (predictorOf(loads, fit.model)[i] - fit.centre) ** 2 / fit.spread : 0;
  return 1 / fit.weight + along;
}
