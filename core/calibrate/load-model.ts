/** Which of the load models to use. */
import { mean, standardDeviation } from '../stats/moments.ts';
import type { Load } from './load.ts';
import { LOAD_MODELS, type LoadModel, type LoadRatios } from './ratio-fit.ts';
import { estimateRegression, type RegressionSolution } from './regression.ts';

/** Loads below which a second coefficient is never recommended: with three, each leave-one-out line hangs on two points. */
const LEAST_LOADS_FOR_TWO = 4;
/** Loads below which it is not even fitted on demand: two fix the line and leave nothing to judge it by. */
export const LEAST_LOADS_FOR_ENTERED_TWO = 3;

/** What stands in `W = k x + b y` beside x: nothing, running time, or fill-weighted beam mass. */
const SECOND_COLUMN: Readonly<Record<LoadModel, ((load: Load) => number) | undefined>> = {
  gain: undefined,
  gain_zero: (load) => load.running_s,
  gain_curvature: (load) => load.x2_kg,
};

/**
 * The model weighted by the expected variance of each load. `undefined` when there are too few loads, when their flows
 * are all alike so that two coefficients cannot be told apart, or when their fill is not known and is asked for.
 */
export function fitLoadModel(
  loads: readonly Load[],
  ratios: LoadRatios,
  model: LoadModel,
): RegressionSolution | undefined {
  if (model === 'gain_curvature' && ratios.mean_fill.length < loads.length) return undefined;
  const beam_kg = Float64Array.from(loads, (load) => load.x_kg);
  const second = SECOND_COLUMN[model];
  const columns = second === undefined ? [beam_kg] : [beam_kg, Float64Array.from(loads, second)];
  const weights = beam_kg.map((x, i) => (x * ratios.ratio_sigma[i]) ** -2);
  const scale_kg = Float64Array.from(loads, (load) => load.scale_kg);
  const fit = estimateRegression({ columns, intercept: 'none' }, scale_kg, weights);
  return fit.ok ? fit.value : undefined;
}

/**
 * The one-standard-error rule [Breiman1984 §3.4.3] on the squared leave-one-out errors, taken in pairs: of the models with
 * two coefficients the one with the lower mean squared error, and that only when it is lower than the gain's by more than
 * the standard error of the difference.
 */
export function recommendedModel(loads: readonly Load[], ratios: LoadRatios): LoadModel {
  if (loads.length < LEAST_LOADS_FOR_TWO) return 'gain';
  const squares = LOAD_MODELS.flatMap((model) => {
    const fit = fitLoadModel(loads, ratios, model);
    return fit === undefined ? [] : [{ model, errors: looSquares(loads, fit) }];
  });
  const [gain, ...larger] = squares;
  const [best] = larger.sort((a, b) => mean(a.errors) - mean(b.errors));
  if (best === undefined) return 'gain';
  const gained = gain.errors.map((error, i) => error - best.errors[i]);
  return mean(gained) > standardDeviation(gained) / Math.sqrt(gained.length) ? best.model : 'gain';
}

/** Squared leave-one-out errors as shares of the loads. */
function looSquares(loads: readonly Load[], fit: RegressionSolution): Float64Array {
  return fit.loo_residuals.map((residual, i) => (residual / loads[i].scale_kg) ** 2);
}
