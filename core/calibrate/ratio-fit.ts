/**
 * The two load models seen as ratios. Dividing `W = k x + z t` by x gives `W/x = k + z (t/x)`: the ratio of scale to
 * beam is constant when there is a gain only, and a straight line in the inverse of the flow when there is a zero error.
 * Equal relative scatter becomes equal scatter, and loads of any size can be compared.
 */

/** What one load says, one element each a load. */
export interface LoadRatios {
  /** Scale mass over beam mass. */
  readonly ratio: Float64Array;
  /** Running time over beam mass, s/kg. */
  readonly inverse_flow_s_kg: Float64Array;
  /** Expected standard deviation of `ratio`. */
  readonly ratio_sigma: Float64Array;
}

export type LoadModel = 'gain' | 'gain_zero';

/** A line through the ratios of some loads; the terms are those of `k x + z t`. */
export interface RatioFit {
  readonly k: number;
  readonly zero_kg_s: number;
  /** Loads that it was fitted to. */
  readonly n: number;
  readonly coefficients: number;
  /** Squared residuals in units of the expected standard deviation. */
  readonly chi_square: number;
  readonly centre_s_kg: number;
  readonly weight: number;
  /** Weighted sum of squares of the inverse flow about its centre; 0 for a gain only. */
  readonly spread: number;
}

/** Inverse flows that differ by less than this share of themselves cannot tell a zero error from a gain. */
const LEAST_FLOW_SPREAD = 1e-6;

/**
 * Weighted least squares over the loads whose `left_out` is 0. `undefined` when there are fewer loads than
 * coefficients, or when the flows are all alike and a zero is asked for.
 */
export function fitRatios(loads: LoadRatios, left_out: Uint8Array, model: LoadModel): RatioFit | undefined {
  const { ratio, inverse_flow_s_kg } = loads;
  const weights = loads.ratio_sigma.map((sigma, i) => (left_out[i] === 0 ? sigma ** -2 : 0));
  const coefficients = model === 'gain' ? 1 : 2;
  let n = 0;
  let weight = 0;
  let centre_s_kg = 0;
  let mean_ratio = 0;
  for (let i = 0; i < weights.length; i++) {
    if (weights[i] > 0) n++;
    weight += weights[i];
    centre_s_kg += weights[i] * inverse_flow_s_kg[i];
    mean_ratio += weights[i] * ratio[i];
  }
  if (n < coefficients) return undefined;
  centre_s_kg /= weight;
  mean_ratio /= weight;
  let spread = 0;
  let zero_kg_s = 0;
  if (model === 'gain_zero') {
    for (let i = 0; i < weights.length; i++) {
      const off = inverse_flow_s_kg[i] - centre_s_kg;
      spread += weights[i] * off * off;
      zero_kg_s += weights[i] * off * (ratio[i] - mean_ratio);
    }
    if (spread <= weight * (LEAST_FLOW_SPREAD * centre_s_kg) ** 2) return undefined;
    zero_kg_s /= spread;
  }
  const k = mean_ratio - zero_kg_s * centre_s_kg;
  let chi_square = 0;
  for (let i = 0; i < weights.length; i++)
    chi_square += weights[i] * (ratio[i] - k - zero_kg_s * inverse_flow_s_kg[i]) ** 2;
  return { k, zero_kg_s, n, coefficients, chi_square, centre_s_kg, weight, spread };
}

/** Ratio that a fit expects of a load. */
export function expectedRatio(fit: RatioFit, inverse_flow_s_kg: number): number {
  return fit.k + fit.zero_kg_s * inverse_flow_s_kg;
}

/** Variance of `expectedRatio` where the expected standard deviations are the true ones. */
export function expectedRatioVariance(fit: RatioFit, inverse_flow_s_kg: number): number {
  const along = fit.spread > 0 ? (inverse_flow_s_kg - fit.centre_s_kg) ** 2 / fit.spread : 0;
  return 1 / fit.weight + along;
}
