/** Which of the load models to use, and how each of them does. */
import { mean, standardDeviation } from '../stats/moments.ts';
import type { Load } from './load.ts';
import { moistureWeighted } from './load-coefficients.ts';
import { LOAD_MODELS, type LoadModel, type LoadRatios } from './ratio-fit.ts';
import { estimateRegression, type RegressionSolution } from './regression.ts';

/** Loads below which a second coefficient is never recommended: with three, each leave-one-out line hangs on two points. */
const LEAST_LOADS_FOR_TWO = 4;
/** Loads below which it is not even fitted on demand: two fix the line and leave nothing to judge it by. */
export const LEAST_LOADS_FOR_ENTERED_TWO = 3;
/** A term of moisture (or test weight) is weighed from so many loads, over so many points of moisture: bulletins advise to calibrate anew when moisture shifts by 4 points (agronomy bulletin 2023). */
const LEAST_LOADS_FOR_MOISTURE = 6;
const LEAST_MOISTURE_RANGE_PCT = 3;

/** The like for a test weight, as a share of the usual one: from a poor to a good year's grain. Ours. */
const LEAST_TEST_WEIGHT_RANGE = 0.03;

/** A gain that is known beforehand, with its standard error. */
export interface PriorGain {
  readonly factor: number;
  readonly se: number;
}

/** What stands in `W = k x + b y` beside x: nothing, running time, or beam mass weighted by fill, moisture or test weight. */
const SECOND_COLUMN: Readonly<Record<LoadModel, ((load: Load) => number) | undefined>> = {
  gain: undefined,
  gain_zero: (load) => load.running_s,
  gain_curvature: (load) => load.x2_kg,
  gain_moisture: (load) => moistureWeighted(load.x_kg, load.moisture_pct),
  gain_test_weight: (load) => load.x_kg * (load.test_weight_share ?? 0),
};

/**
 * The model weighted by the expected variance of each load; what is known of the gain beforehand counts as one load more,
 * the last. `undefined` when there are too few loads, when their flows (or moistures) are all alike so that two
 * coefficients cannot be told apart, or when their fill, moisture or test weight is not known and is asked for.
 */
export function fitLoadModel(
  loads: readonly Load[],
  ratios: LoadRatios,
  model: LoadModel,
  prior?: PriorGain,
): RegressionSolution | undefined {
  if (model === 'gain_curvature' && ratios.mean_fill.length < loads.length) return undefined;
  if (model === 'gain_moisture' && ratios.moisture_share.length < loads.length) return undefined;
  if (model === 'gain_test_weight' && ratios.test_weight_share.length < loads.length) return undefined;
  const second = SECOND_COLUMN[model];
  const rows = loads.map((load, i) => ({
    x: [load.x_kg, second?.(load) ?? 0],
    y: load.scale_kg,
    sigma: load.x_kg * ratios.ratio_sigma[i],
  }));
  if (prior !== undefined) rows.push({ x: [1, 0], y: prior.factor, sigma: prior.se });
  const places = second === undefined ? [0] : [0, 1];
  const columns = places.map((place) => Float64Array.from(rows, ({ x }) => x[place]));
  const weights = Float64Array.from(rows, ({ sigma }) => sigma ** -2);
  const fit = estimateRegression(
    { columns, intercept: 'none' },
    Float64Array.from(rows, ({ y }) => y),
    weights,
  );
  return fit.ok ? fit.value : undefined;
}

/** How one model does on the loads in use. */
export interface ModelTrial {
  readonly model: LoadModel;
  readonly fit_rmse_pct: number;
  readonly loo_rmse_pct: number;
  /** Squared leave-one-out errors as shares of the loads. */
  readonly loo_squares: Float64Array;
}

/** Trials of all models that the loads can fix, simplest first. */
export function modelTrials(
  loads: readonly Load[],
  ratios: LoadRatios,
  prior?: PriorGain,
): readonly ModelTrial[] {
  return LOAD_MODELS.flatMap((model) => {
    if (model !== 'gain' && loads.length < LEAST_LOADS_FOR_ENTERED_TWO) return [];
    const fit = fitLoadModel(loads, ratios, model, prior);
    if (fit === undefined) return [];
    const squaresOf = (errors: Float64Array) =>
      Float64Array.from(loads, (load, i) => (errors[i] / load.scale_kg) ** 2);
    const loo_squares = squaresOf(fit.loo_residuals);
    const rmse_pct = (squares: Float64Array) => 100 * Math.sqrt(mean(squares));
    return [
      {
        model,
        fit_rmse_pct: rmse_pct(squaresOf(fit.residuals)),
        loo_rmse_pct: rmse_pct(loo_squares),
        loo_squares,
      },
    ];
  });
}

/**
 * The one-standard-error rule [Breiman1984 §3.4.3] on the squared leave-one-out errors, taken in pairs: of the models with
 * two coefficients the one with the lower mean squared error, and that only when it is lower than the gain's by more than
 * the standard error of the difference. A term of moisture or test weight must besides rest on loads that differ in it.
 */
export function recommendedModel(loads: readonly Load[], trials: readonly ModelTrial[]): LoadModel {
  if (loads.length < LEAST_LOADS_FOR_TWO) return 'gain';
  const gain = trials.find(({ model }) => model === 'gain');
  const [best] = trials
    .filter(({ model }) => model !== 'gain' && supports(loads, model))
    .sort((a, b) => a.loo_rmse_pct - b.loo_rmse_pct);
  if (gain === undefined || best === undefined) return 'gain';
  const gained = gain.loo_squares.map((square, i) => square - best.loo_squares[i]);
  return mean(gained) > standardDeviation(gained) / Math.sqrt(gained.length) ? best.model : 'gain';
}

function supports(loads: readonly Load[], model: LoadModel): boolean {
  if (model !== 'gain_moisture' && model !== 'gain_test_weight') return true;
  const grades = loads.map((load) =>
    model === 'gain_moisture' ? load.moisture_pct : (load.test_weight_share ?? Number.NaN),
  );
  const least = model === 'gain_moisture' ? LEAST_MOISTURE_RANGE_PCT : LEAST_TEST_WEIGHT_RANGE;
  return loads.length >= LEAST_LOADS_FOR_MOISTURE && Math.max(...grades) - Math.min(...grades) >= least;
}
