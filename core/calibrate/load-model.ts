/** Which of the two load models to use. */
import { mean, standardDeviation } from '../stats/moments.ts';
import type { Load } from './load.ts';
import type { LoadModel, LoadRatios } from './ratio-fit.ts';
import { estimateRegression, type RegressionSolution } from './regression.ts';

/** Loads below which a zero error is never recommended: with three, each leave-one-out line hangs on two points. */
export const LEAST_LOADS_FOR_ZERO = 4;
/** Loads below which it is not even fitted on demand: two fix the line and leave nothing to judge it by. */
export const LEAST_LOADS_FOR_ENTERED_ZERO = 3;

/**
 * `W = k x` or `W = k x + z t`, weighted by the expected variance of each load. `undefined` when there are too few
 * loads, or when the flows are all alike so that k and z cannot be told apart.
 */
export function fitLoadModel(
  loads: readonly Load[],
  ratios: LoadRatios,
  model: LoadModel,
): RegressionSolution | undefined {
  const beam_kg = Float64Array.from(loads, (load) => load.x_kg);
  const running_s = Float64Array.from(loads, (load) => load.running_s);
  const weights = beam_kg.map((x, i) => (x * ratios.ratio_sigma[i]) ** -2);
  const columns = model === 'gain' ? [beam_kg] : [beam_kg, running_s];
  const scale_kg = Float64Array.from(loads, (load) => load.scale_kg);
  const fit = estimateRegression({ columns, intercept: 'none' }, scale_kg, weights);
  return fit.ok ? fit.value : undefined;
}

/** `100 × (leave-one-out prediction − scale)/scale` of each load. */
export function looErrorsPct(loads: readonly Load[], fit: RegressionSolution): Float64Array {
  return fit.loo_residuals.map((residual, i) => (-100 * residual) / loads[i].scale_kg);
}

/**
 * The one-standard-error rule [Breiman1984 §3.4.3] on the squared leave-one-out errors, taken in pairs: a zero error is
 * recommended only when it lowers the mean squared error by more than the standard error of that difference.
 */
export function recommendedModel(loads: readonly Load[], ratios: LoadRatios): LoadModel {
  if (loads.length < LEAST_LOADS_FOR_ZERO) return 'gain';
  const gain = fitLoadModel(loads, ratios, 'gain');
  const zero = fitLoadModel(loads, ratios, 'gain_zero');
  if (gain === undefined || zero === undefined) return 'gain';
  const zeroErrors = looErrorsPct(loads, zero);
  const gained = looErrorsPct(loads, gain).map((error, i) => error ** 2 - zeroErrors[i] ** 2);
  return mean(gained) > standardDeviation(gained) / Math.sqrt(gained.length) ? 'gain_zero' : 'gain';
}
