/**
 * From loads to the sensor's calibration: scale mass = k × beam mass, + zero error × running time, or + curvature ×
 * fill-weighted beam mass.
 *
 * k is dimensionless (shape factor, chain and paddle geometry as entered); the zero error is grain that an empty level
 * set too low or too high adds or hides, in proportion to time; the curvature, dimensionless, is how much the gain rises
 * from an empty to a full pitch, as heaps change their shape with their height.
 */
import type { Notice } from '../errors.ts';
import type { SettingsSheet } from '../season.ts';
import { deletionResidual } from './deletion-residual.ts';
import { BEAM_SCATTER, type Load, ratiosOfLoads } from './load.ts';
import { choiceFor } from './load-choice.ts';
import { applyLoadFit, type FittedCoefficients, type LoadCoefficients } from './load-coefficients.ts';
import { loadFitNotices, modelNotices } from './load-fit-notices.ts';
import { fitLoadModel, LEAST_LOADS_FOR_ENTERED_TWO, recommendedModel } from './load-model.ts';
import { loadRemark } from './load-remark.ts';
import type { LoadModel, LoadRatios } from './ratio-fit.ts';
import type { RegressionSolution } from './regression.ts';
import { estimateWrongLoads, type WrongLoadOptions } from './wrong-loads.ts';

/** One load as the fit sees it, in the order of the input. NaN where there is no such number. */
export interface LoadFitRow {
  readonly load: Load;
  /** By the fit, whether the load was used in it or not. */
  readonly predicted_kg: number;
  /** `100 (predicted − scale)/scale`. */
  readonly error_pct: number;
  /** The same by a fit to the other loads in use. */
  readonly loo_error_pct: number;
  /** Scale less what the others expect, over its standard deviation with pooled scatter (`deletion-residual.ts`). */
  readonly studentised_residual: number;
  /** NaN for a load that was not used, as Cook's distance. */
  readonly leverage: number;
  readonly cooks_distance: number;
  readonly used: boolean;
  /** The load contradicts the others, whatever the user decided about it. */
  readonly flagged: boolean;
  /** Plain words; empty for a load with nothing to say about it. */
  readonly why: string;
}

export interface LoadFitSolution extends FittedCoefficients {
  readonly model: LoadModel | 'uncalibrated';
  /** Uncentred (through the origin), so near 1 for any usable calibration: judge by the errors instead. NaN when uncalibrated. */
  readonly r2: number;
  readonly fit_rmse_pct: number;
  readonly loo_rmse_pct: number;
  readonly rows: readonly LoadFitRow[];
  /** Least and greatest mean flow of the loads in use, kg/s by the scale; NaN without any. */
  readonly covered_flow_kg_s: readonly [number, number];
}

export interface LoadFitOptions extends WrongLoadOptions {
  /** Scatter of the beam from load to load, as a share of the load. */
  readonly beam_scatter?: number;
  /** Named in notices: what is being calibrated. */
  readonly source?: string;
}

/**
 * Fit the loads of one group (machine and crop). Wrong loads are found first and set aside; then the user's choices
 * are followed (`choices.loads`: use one that is flagged, set one aside; `choices.model`), else the model with the lowest
 * leave-one-out error is taken, unless the gain alone is within one standard error of it. One or two loads give a gain.
 *
 * Standard errors are the least-squares ones, but never below what the expected scatter of scale and beam alone would
 * give (the larger of internal and external error [Birge1932]). One load gives none; no load in use leaves k = 1.
 *
 * @throws RangeError for a load whose scale or beam mass or running time is not positive and finite.
 */
export function estimateLoadFit(
  loads: readonly Load[],
  choices: SettingsSheet['calibration'] = {},
  options: LoadFitOptions = {},
): { readonly solution: LoadFitSolution; readonly notices: readonly Notice[] } {
  refuseBadLoads(loads);
  const { beam_scatter = BEAM_SCATTER, source = 'calibration' } = options;
  const ratios = ratiosOfLoads(loads, beam_scatter);
  const choice = loads.map((load) => choiceFor(load, choices));
  const flagged = flaggedLoads(loads, choice, options);
  const used = loads.map((_, i) => choice[i] ?? flagged[i] === 0);
  const inUse = loads.filter((_, i) => used[i]);
  const usedRatios = ratiosOfLoads(inUse, beam_scatter);
  const { model, fit } = chosenFit(inUse, usedRatios, choices);
  const solution = solutionFrom(model, fit, rowsFor({ loads, ratios, used, flagged, choice, model, fit }));
  const notices = [...modelNotices(solution, choices, source), ...loadFitNotices(solution, source)];
  return { solution, notices };
}

/** A load that the user set aside does not speak against others, but is still judged by them. */
function flaggedLoads(
  loads: readonly Load[],
  choice: readonly (boolean | undefined)[],
  options: LoadFitOptions,
): Uint8Array {
  const heard = loads.filter((_, i) => choice[i] !== false);
  const wrongOf = (judged: readonly Load[]) =>
    estimateWrongLoads(ratiosOfLoads(judged, options.beam_scatter), options);
  const wrong = wrongOf(heard);
  let next = 0;
  return Uint8Array.from(loads, (load, i) =>
    choice[i] === false ? wrongOf([...heard, load])[heard.length] : wrong[next++],
  );
}

function chosenFit(
  loads: readonly Load[],
  ratios: LoadRatios,
  { model: entered = 'auto' }: NonNullable<SettingsSheet['calibration']>,
): { readonly model: LoadFitSolution['model']; readonly fit: RegressionSolution | undefined } {
  if (loads.length === 0) return { model: 'uncalibrated', fit: undefined };
  const wanted = entered === 'auto' ? recommendedModel(loads, ratios) : entered;
  if (wanted !== 'gain' && loads.length >= LEAST_LOADS_FOR_ENTERED_TWO) {
    const fit = fitLoadModel(loads, ratios, wanted);
    if (fit !== undefined) return { model: wanted, fit };
  }
  return { model: 'gain', fit: fitLoadModel(loads, ratios, 'gain') };
}

interface RowInput {
  readonly loads: readonly Load[];
  readonly ratios: LoadRatios;
  readonly used: readonly boolean[];
  readonly flagged: Uint8Array;
  readonly choice: readonly (boolean | undefined)[];
  readonly model: LoadFitSolution['model'];
  readonly fit: RegressionSolution | undefined;
}

function rowsFor({ loads, ratios, used, flagged, choice, model, fit }: RowInput): LoadFitRow[] {
  const left_out = Uint8Array.from(used, (use) => (use ? 0 : 1));
  const coefficients = coefficientsOf(model, fit);
  const lineModel = model === 'uncalibrated' ? 'gain' : model;
  const byOthers = loads.map((_, i) => deletionResidual(ratios, left_out, lineModel, i));
  let next = 0;
  return loads.map((load, i) => {
    const predicted_kg = massOf(coefficients, load);
    const others = byOthers[i];
    const at = used[i] ? next++ : -1;
    return {
      load,
      predicted_kg,
      error_pct: (100 * (predicted_kg - load.scale_kg)) / load.scale_kg,
      loo_error_pct: 100 * (others.expected_ratio / ratios.ratio[i] - 1),
      studentised_residual: others.studentised,
      leverage: fit?.leverage[at] ?? Number.NaN,
      cooks_distance: fit?.cooks_distance[at] ?? Number.NaN,
      used: used[i],
      flagged: flagged[i] === 1,
      why: loadRemark(loads, byOthers, i, { flagged: flagged[i] === 1, choice: choice[i] }),
    };
  });
}

function solutionFrom(
  model: LoadFitSolution['model'],
  fit: RegressionSolution | undefined,
  rows: readonly LoadFitRow[],
): LoadFitSolution {
  const inUse = rows.filter((row) => row.used);
  const flows = inUse.map((row) => row.load.mean_flow_kg_s);
  return {
    model,
    ...coefficientsOf(model, fit),
    covariance: covarianceOf(model, fit),
    r2: fit?.r2 ?? Number.NaN,
    fit_rmse_pct: rootMeanSquare(inUse.map((row) => row.error_pct)),
    loo_rmse_pct: rootMeanSquare(inUse.map((row) => row.loo_error_pct)),
    rows,
    covered_flow_kg_s: flows.length > 0 ? [Math.min(...flows), Math.max(...flows)] : [Number.NaN, Number.NaN],
  };
}

/** By a fit, the mass of a load. */
function massOf(fit: LoadCoefficients, { x_kg, running_s, x2_kg }: Load): number {
  // a load whose fill is not known has a model without curvature
  return applyLoadFit(fit, x_kg, running_s, fit.curvature === 0 ? 0 : x2_kg);
}

/** Places of a model's coefficients in the regression among k, zero error and curvature; −1 where it has none. */
const PLACES: Readonly<Record<LoadFitSolution['model'], readonly number[]>> = {
  uncalibrated: [-1, -1, -1],
  gain: [0, -1, -1],
  gain_zero: [0, 1, -1],
  gain_curvature: [0, -1, 1],
};

function coefficientsOf(
  model: LoadFitSolution['model'],
  fit: RegressionSolution | undefined,
): LoadCoefficients {
  const [k = 1, zero_kg_s = 0, curvature = 0] = PLACES[model].map((place) => fit?.coefficients[place]);
  return { k, zero_kg_s, curvature };
}

/** Weights are in units of the expected variance: a residual deviation below 1 is luck, not precision. */
function covarianceOf(model: LoadFitSolution['model'], fit: RegressionSolution | undefined): Float64Array {
  if (fit === undefined || fit.degrees_of_freedom === 0) return new Float64Array(9).fill(Number.NaN);
  const variance = Math.max(1, fit.residual_sd ** 2);
  const places = PLACES[model];
  return Float64Array.from(
    places.flatMap((row) =>
      places.map((column) =>
        row < 0 || column < 0 ? 0 : variance * fit.inverse_gram[row * fit.coefficients.length + column],
      ),
    ),
  );
}

function rootMeanSquare(errors: readonly number[]): number {
  return Math.sqrt(errors.reduce((total, error) => total + error ** 2, 0) / errors.length);
}

function refuseBadLoads(loads: readonly Load[]): void {
  for (const { ticket, scale_kg, x_kg, running_s } of loads)
    for (const [name, amount] of Object.entries({ scale_kg, x_kg, running_s }))
      if (!(amount > 0 && Number.isFinite(amount)))
        throw new RangeError(`Load "${ticket}" has ${name} = ${amount}; a fit needs positive numbers.`);
}
