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
  const { ratio, inverse_flow_s_kg, ratio_sigma } = loads;
  const use = (term: (i: number, w: number) => number): number => {
    let total = 0;
    for (let i = 0; i < ratio.length; i++) if (left_out[i] === 0) total += term(i, ratio_sigma[i] ** -2);
    return total;
  };
  const n = use(() => 1);
  const coefficients = model === 'gain' ? 1 : 2;
  if (n < coefficients) return undefined;
  const weight = use((_, w) => w);
  const centre_s_kg = use((i, w) => w * inverse_flow_s_kg[i]) / weight;
  const mean_ratio = use((i, w) => w * ratio[i]) / weight;
  let zero_kg_s = 0;
  let spread = 0;
  if (model === 'gain_zero') {
    const off = (i: number) => inverse_flow_s_kg[i] - centre_s_kg;
    spread = use((i, w) => w * off(i) ** 2);
    if (spread <= weight * (LEAST_FLOW_SPREAD * centre_s_kg) ** 2) return undefined;
    zero_kg_s = use((i, w) => w * off(i) * (ratio[i] - mean_ratio)) / spread;
  }
  const k = mean_ratio - zero_kg_s * centre_s_kg;
  const chi_square = use((i, w) => w * (ratio[i] - k - zero_kg_s * inverse_flow_s_kg[i]) ** 2);
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
