/** From a regression of loads to the coefficients of a calibration, with their covariance and what each load adds to them. */

import { mean } from '../stats/moments.ts';
import type { Load } from './load.ts';
import {
  COEFFICIENTS,
  type FittedCoefficients,
  type FittedLoad,
  type LoadCoefficients,
  NO_BEND,
  type UnfittedBend,
} from './load-coefficients.ts';
import type { PriorGain } from './load-model.ts';
import { fitRatios, LOAD_MODELS, type LoadModel, type LoadRatios } from './ratio-fit.ts';
import type { RegressionSolution } from './regression.ts';

/** A model, or what stands where no load is in use. */
export type FitModel = LoadModel | 'uncalibrated' | 'carried_over';

/** Places of a model's coefficients in the regression among k, zero error, curvature and moisture or test weight; −1 where it has none. */
const PLACES: Readonly<Record<FitModel, readonly number[]>> = {
  uncalibrated: [-1, -1, -1, -1],
  carried_over: [-1, -1, -1, -1],
  gain: [0, -1, -1, -1],
  gain_zero: [0, 1, -1, -1],
  gain_curvature: [0, -1, 1, -1],
  gain_moisture: [0, -1, -1, 1],
  gain_test_weight: [0, -1, -1, 1],
};

/**
 * The expected scatter counts as that of so many loads: fewer than where a single load is judged (`deletion-residual.ts`),
 * because here the loads in use have been found to agree. Ours, by simulation: intervals hold what they say.
 */
const EXPECTED_LOADS = 2;

/** Degrees of freedom of what nobody estimated. */
const MANY = 1e6;

export function isLoadModel(model: FitModel): model is LoadModel {
  return LOAD_MODELS.some((name) => name === model);
}

/** Coefficients alone; without a fit the gain that is known beforehand, else 1. */
export function coefficientsOf(
  model: FitModel,
  fit: RegressionSolution | undefined,
  known: PriorGain | undefined,
): LoadCoefficients {
  const { factor = 1 } = known ?? {};
  const [k = factor, zero_kg_s = 0, curvature = 0, last = 0] = PLACES[model].map(
    (place) => fit?.coefficients[place],
  );
  const rest = { k, zero_kg_s, curvature };
  return model === 'gain_test_weight'
    ? { ...rest, moisture: 0, test_weight: last }
    : { ...rest, moisture: last };
}

interface FittedInput {
  readonly model: FitModel;
  readonly fit: RegressionSolution | undefined;
  /** In use, in the order of the regression's rows. */
  readonly loads: readonly Load[];
  readonly ratios: LoadRatios;
  readonly known: PriorGain | undefined;
}

/**
 * Everything that travels with the coefficients. Weights of the fit are in units of the expected variance; the pooled
 * variance is `(2 + χ²)/(2 + n − p)` of it.
 */
export function fittedCoefficients({ model, fit, loads, ratios, known }: FittedInput): FittedCoefficients {
  const coefficients = coefficientsOf(model, fit, known);
  if (fit === undefined && known !== undefined) {
    const covariance = new Float64Array(COEFFICIENTS ** 2);
    covariance[0] = known.se ** 2;
    return { ...coefficients, covariance, degrees_of_freedom: MANY, behind: [], unfitted: NO_BEND };
  }
  if (fit === undefined || fit.degrees_of_freedom === 0) {
    const covariance = new Float64Array(COEFFICIENTS ** 2).fill(Number.NaN);
    return { ...coefficients, covariance, degrees_of_freedom: Number.NaN, behind: [], unfitted: NO_BEND };
  }
  const degrees_of_freedom = EXPECTED_LOADS + fit.degrees_of_freedom;
  const variance = (EXPECTED_LOADS + fit.residual_sd ** 2 * fit.degrees_of_freedom) / degrees_of_freedom;
  const p = fit.coefficients.length;
  const places = PLACES[model];
  const covariance = Float64Array.from(
    places.flatMap((row) =>
      places.map((column) => (row < 0 || column < 0 ? 0 : variance * fit.inverse_gram[row * p + column])),
    ),
  );
  const deviation = Math.sqrt(variance);
  const behind = loads.map((load, i): FittedLoad => {
    const sigma_kg = load.x_kg * ratios.ratio_sigma[i];
    return {
      span: load.span ?? -1,
      influence: influenceOf(fit, places, i),
      scale_sd_kg: deviation * load.scale_sigma_kg,
      beam_sd_kg: deviation * Math.sqrt(Math.max(0, sigma_kg ** 2 - load.scale_sigma_kg ** 2)),
      scale_kg: load.scale_kg,
    };
  });
  if (known !== undefined)
    behind.push({
      span: -1,
      influence: influenceOf(fit, places, loads.length),
      scale_sd_kg: deviation * known.se,
      beam_sd_kg: 0,
      scale_kg: 0,
    });
  const unfitted = model === 'gain' ? unfittedBend(ratios, coefficients.k, variance) : NO_BEND;
  return { ...coefficients, covariance, degrees_of_freedom, behind, unfitted };
}

/** A bend that leave-one-out does not see is at most so large, as a share of the gain at mean fill; half of the usual one (`load-evidence.ts`). */
const UNSEEN_BEND = 0.04;

/**
 * Before any load a curvature that stays unseen is expected within 4 % of the gain at the mean fill, one standard deviation; what the loads say narrows that: `1/σ² = 1/σ₀² + S/s²`, S the weighted spread of their fills.
 */
function unfittedBend(ratios: LoadRatios, k: number, variance: number): UnfittedBend {
  const line = fitRatios(ratios, new Uint8Array(ratios.ratio.length), 'gain_curvature');
  if (line === undefined) {
    const known = ratios.mean_fill.length > 0;
    const mean_fill = known ? mean(ratios.mean_fill) : 0;
    return known ? { curvature_sd: (UNSEEN_BEND * k) / mean_fill, mean_fill } : NO_BEND;
  }
  const before = (UNSEEN_BEND * k) / line.centre;
  const curvature_sd = 1 / Math.sqrt(before ** -2 + line.spread / variance);
  return { curvature_sd, mean_fill: line.centre };
}

/** Row i of `(XᵀWX)⁻¹ XᵀW`, put in the places of the coefficients. */
function influenceOf(fit: RegressionSolution, places: readonly number[], i: number): Float64Array {
  return Float64Array.from(places, (place) => (place < 0 ? 0 : fit.influence[place][i]));
}
