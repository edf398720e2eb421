/**
 * From loads to the sensor's calibration: scale mass = k × beam mass, + zero error × running time, or + curvature ×
 * fill-weighted beam mass.
 *
 * k is dimensionless (shape factor, chain and paddle geometry as entered); the zero error is grain that an empty level
 * set too low or too high adds or hides, in proportion to time; the curvature, dimensionless, is how much the gain rises
 * from an empty to a full pitch, as heaps change their shape with their height.
 */
import type { CalibrationSheet, PriorSheet } from '../calibration-sheet.ts';
import type { Notice } from '../errors.ts';
import { tFromTwoSidedP } from '../stats/student-t.ts';
import { deletionResidual } from './deletion-residual.ts';
import { coefficientsOf, fittedCoefficients, isLoadModel } from './fitted-coefficients.ts';
import { BEAM_SCATTER, type Load, ratiosOfLoads } from './load.ts';
import { choiceFor } from './load-choice.ts';
import {
  applyLoadFit,
  type FittedCoefficients,
  gradeWeighted,
  type LoadCoefficients,
} from './load-coefficients.ts';
import { loadFitNotices, modelNotices } from './load-fit-notices.ts';
import {
  fitLoadModel,
  LEAST_LOADS_FOR_ENTERED_TWO,
  type ModelTrial,
  modelTrials,
  type PriorGain,
  recommendedModel,
} from './load-model.ts';
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
  /** Scale mass that the others expect, and half of the 95 % interval for one such load. */
  readonly expected_kg: number;
  readonly expected_half_width_kg: number;
  readonly used: boolean;
  /** The load contradicts the others, whatever the user decided about it. */
  readonly flagged: boolean;
  /** Plain words; empty for a load with nothing to say about it. */
  readonly why: string;
}

export interface LoadFitSolution extends FittedCoefficients {
  /** `carried_over`: no load in use, the gain known beforehand stands. */
  readonly model: LoadModel | 'uncalibrated' | 'carried_over';
  /** Uncentred (through the origin), so near 1 for any usable calibration: judge by the errors instead. NaN when uncalibrated. */
  readonly r2: number;
  readonly fit_rmse_pct: number;
  readonly loo_rmse_pct: number;
  readonly rows: readonly LoadFitRow[];
  /** Least and greatest mean flow of the loads in use, kg/s by the scale; NaN without any. */
  readonly covered_flow_kg_s: readonly [number, number];
  /** What leave-one-out recommends, and how each model does: the price of choosing otherwise. */
  readonly recommended: LoadModel;
  readonly trials: readonly ModelTrial[];
  /** The gain that was known beforehand, where there is one. */
  readonly prior: PriorSheet | undefined;
}

export interface LoadFitOptions extends WrongLoadOptions {
  /** Scatter of the beam from load to load, as a share of the load. */
  readonly beam_scatter?: number;
  /** Named in notices: what is being calibrated. */
  readonly source?: string;
  /** The gain that is known beforehand; it accuses no load. */
  readonly prior?: PriorSheet;
}

/**
 * Fit the loads of one group (machine and crop). Wrong loads are found first and set aside; then the user's choices
 * are followed (`choices.loads`: use one that is flagged, set one aside; `choices.model`), else the model with the lowest
 * leave-one-out error is taken, unless the gain alone is within one standard error of it. One or two loads give a gain.
 *
 * The scatter of the loads is pooled with the expected one, which counts as two loads more (`fitted-coefficients.ts`), so
 * that few loads that happen to agree do not promise more than scale and beam can hold; intervals are Student's, with
 * 2 + n − p degrees of freedom. One load alone gives no error; no load in use leaves k = 1.
 *
 * @throws RangeError for a load whose scale or beam mass or running time is not positive and finite.
 */
export function estimateLoadFit(
  loads: readonly Load[],
  choices: CalibrationSheet = {},
  options: LoadFitOptions = {},
): { readonly solution: LoadFitSolution; readonly notices: readonly Notice[] } {
  refuseBadLoads(loads);
  const { beam_scatter = BEAM_SCATTER, source = 'calibration', prior } = options;
  const known = prior && { factor: prior.factor, se: (prior.factor * prior.se_pct) / 100 };
  const ratios = ratiosOfLoads(loads, beam_scatter);
  const choice = loads.map((load) => choiceFor(load, choices));
  const flagged = flaggedLoads(loads, choice, options);
  const used = loads.map((_, i) => choice[i] ?? flagged[i] === 0);
  const inUse = loads.filter((_, i) => used[i]);
  const usedRatios = ratiosOfLoads(inUse, beam_scatter);
  const trials = inUse.length > 0 ? modelTrials(inUse, usedRatios, known) : [];
  const recommended = recommendedModel(inUse, trials);
  const { model, fit } = chosenFit(inUse, usedRatios, { wanted: choices.model, recommended, known });
  const rows = rowsFor({ loads, ratios, used, flagged, choice, model, fit, known });
  const solution = {
    ...fittedCoefficients({ model, fit, loads: inUse, ratios: usedRatios, known }),
    ...figuresOf(rows, fit),
    model,
    rows,
    recommended,
    trials,
    prior,
  };
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

interface ModelWishes {
  readonly wanted: CalibrationSheet['model'];
  readonly recommended: LoadModel;
  readonly known: PriorGain | undefined;
}

function chosenFit(
  loads: readonly Load[],
  ratios: LoadRatios,
  { wanted = 'auto', recommended, known }: ModelWishes,
): { readonly model: LoadFitSolution['model']; readonly fit: RegressionSolution | undefined } {
  if (loads.length === 0) return { model: known ? 'carried_over' : 'uncalibrated', fit: undefined };
  const model = wanted === 'auto' ? recommended : wanted;
  if (model !== 'gain' && loads.length >= LEAST_LOADS_FOR_ENTERED_TWO) {
    const fit = fitLoadModel(loads, ratios, model, known);
    if (fit !== undefined) return { model, fit };
  }
  return { model: 'gain', fit: fitLoadModel(loads, ratios, 'gain', known) };
}

interface RowInput {
  readonly loads: readonly Load[];
  readonly ratios: LoadRatios;
  readonly used: readonly boolean[];
  readonly flagged: Uint8Array;
  readonly choice: readonly (boolean | undefined)[];
  readonly model: LoadFitSolution['model'];
  readonly fit: RegressionSolution | undefined;
  readonly known: PriorGain | undefined;
}

function rowsFor({ loads, ratios, used, flagged, choice, model, fit, known }: RowInput): LoadFitRow[] {
  const left_out = Uint8Array.from([...used, ...(known ? [true] : [])], (use) => (use ? 0 : 1));
  const judged = known ? withPrior(ratios, known) : ratios;
  const coefficients = coefficientsOf(model, fit, known);
  const lineModel = isLoadModel(model) ? model : 'gain';
  const byOthers = loads.map((_, i) => deletionResidual(judged, left_out, lineModel, i));
  let next = 0;
  return loads.map((load, i) => {
    const predicted_kg = massOfLoad(coefficients, load);
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
      expected_kg: others.expected_ratio * load.x_kg,
      expected_half_width_kg: tFromTwoSidedP(0.05, others.df) * others.deviation * load.x_kg,
      used: used[i],
      flagged: flagged[i] === 1,
      why: loadRemark(loads, byOthers, i, { flagged: flagged[i] === 1, choice: choice[i] }),
    };
  });
}

/** What is known beforehand as one load more, the last: pure gain, at no fill and in no time. */
function withPrior(ratios: LoadRatios, { factor, se }: PriorGain): LoadRatios {
  const longer = (column: Float64Array, last: number) =>
    column.length > 0 || ratios.ratio.length === 0 ? Float64Array.of(...column, last) : column;
  return {
    ratio: longer(ratios.ratio, factor),
    beam_kg: longer(ratios.beam_kg, 1),
    inverse_flow_s_kg: longer(ratios.inverse_flow_s_kg, 0),
    mean_fill: longer(ratios.mean_fill, 0),
    moisture_share: longer(ratios.moisture_share, 0),
    test_weight_share: longer(ratios.test_weight_share, 0),
    ratio_sigma: longer(ratios.ratio_sigma, se),
  };
}

function figuresOf(rows: readonly LoadFitRow[], fit: RegressionSolution | undefined) {
  const inUse = rows.filter((row) => row.used);
  const flows = inUse.map((row) => row.load.mean_flow_kg_s);
  const covered: readonly [number, number] =
    flows.length > 0 ? [Math.min(...flows), Math.max(...flows)] : [Number.NaN, Number.NaN];
  return {
    r2: fit?.r2 ?? Number.NaN,
    fit_rmse_pct: rootMeanSquare(inUse.map((row) => row.error_pct)),
    loo_rmse_pct: rootMeanSquare(inUse.map((row) => row.loo_error_pct)),
    covered_flow_kg_s: covered,
  };
}

/** By a fit, the mass of a load. */
export function massOfLoad(fit: LoadCoefficients, load: Load): number {
  const { x_kg, running_s, x2_kg, moisture_pct, test_weight_share } = load;
  // a load whose fill is not known has a model without curvature
  const fillWeighted_kg = fit.curvature === 0 ? 0 : x2_kg;
  const graded_kg = gradeWeighted(fit, x_kg, moisture_pct, test_weight_share);
  return applyLoadFit(fit, x_kg, running_s, fillWeighted_kg, graded_kg);
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
