/** What the loads of a calibration allow beyond the fit itself: intervals, cross-checks, drift, how many more loads help and where. */

import { estimateHuber } from '../calibrate/huber.ts';
import { gradeWeighted, loadFitStandardError } from '../calibrate/load-coefficients.ts';
import type { LoadFitRow, LoadFitSolution } from '../calibrate/load-fit.ts';
import { estimateRegression } from '../calibrate/regression.ts';
import type { SeasonCalibration } from '../calibrate/season-fit.ts';
import { estimateTheilSen } from '../calibrate/theil-sen.ts';
import type { CalibrationDiagnostics, Interval95, ResidualSlope } from '../calibration-result.ts';
import { finiteOrNull } from '../columns.ts';
import type { Crop } from '../grain/crops.ts';
import type { CalibrationSummary } from '../result.ts';
import { median } from '../stats/quantiles.ts';
import { tFromTwoSidedP, twoSidedPFromT } from '../stats/student-t.ts';
import { KG_M3_PER_KG_HL } from '../units.ts';
import {
  flowsByLoad,
  type HarvestedField,
  type HarvestedGrain,
  harvestedGrain,
  outsideCovered,
} from './harvested-grain.ts';
import { enoughLoads, nextFlow } from './next-load.ts';

const SECONDS_PER_DAY = 86_400;
/** Loads below which no slope of their errors is told: with three, any two trends fit. */
const LEAST_FOR_SLOPE = 4;
/** What differs by less than this share of its mean among the loads cannot show a slope. */
const LEAST_VARIATION = 1e-3;

/** Diagnostics of one machine's calibration in one crop; `grain` is what it harvested of that crop. */
export function calibrationDiagnostics(
  solution: LoadFitSolution,
  grain: HarvestedGrain,
): CalibrationDiagnostics {
  const used = solution.rows.filter((row) => row.used);
  const flows = flowsByLoad(grain);
  const known = used.flatMap(({ load }) => {
    const own = flows.get(load.span ?? -1);
    return own === undefined ? [] : [{ load, flow_kg_s: own.middle, own }];
  });
  const covered: readonly [number, number] = [
    Math.min(...known.map(({ own }) => own.lower)),
    Math.max(...known.map(({ own }) => own.upper)),
  ];
  const outside = outsideCovered(grain, covered);
  const next_flow_kg_s = nextFlow(known, grain);
  return {
    recommended_model: used.length > 0 ? solution.recommended : null,
    models: solution.trials.map(({ model, fit_rmse_pct, loo_rmse_pct }) => ({
      model,
      fit_rmse_pct: finiteOrNull(fit_rmse_pct),
      loo_rmse_pct: finiteOrNull(loo_rmse_pct),
    })),
    degrees_of_freedom: finiteOrNull(solution.degrees_of_freedom),
    confidence_95: confidence(solution),
    prediction_95_pct: finiteOrNull(predictionHalfWidth_pct(solution, used)),
    confidence_band: confidenceBand(solution, used),
    ...crossChecks(used),
    dimensionless: used.length > 0 && used.every(({ load }) => load.tickets.every(hasTestWeight)),
    prior: solution.prior === undefined ? null : priorOf(solution.prior),
    covered_flow_kg_s: known.length > 0 ? covered : null,
    outside_points_pct: finiteOrNull(outside.points_pct),
    outside_grain_pct: finiteOrNull(outside.grain_pct),
    residual_slopes: residualSlopes(used),
    enough_loads: enoughLoads(solution, known, grain, next_flow_kg_s),
    next_flow_kg_s: finiteOrNull(next_flow_kg_s),
  };
}

const hasTestWeight = (ticket: { readonly bulk_density_kg_m3: number }) => ticket.bulk_density_kg_m3 > 0;

function priorOf({ factor, se_pct, from }: NonNullable<LoadFitSolution['prior']>) {
  return { factor, se_pct, from };
}

function confidence(solution: LoadFitSolution): Readonly<Record<string, Interval95>> {
  const { covariance, degrees_of_freedom } = solution;
  const last = solution.test_weight === undefined ? 'moisture' : 'test_weight';
  const named = ['k', 'zero_kg_s', 'curvature', last] as const;
  if (!Number.isFinite(degrees_of_freedom)) return {};
  const t = tFromTwoSidedP(0.05, degrees_of_freedom);
  return Object.fromEntries(
    named.flatMap((name, j) => {
      const half = t * Math.sqrt(covariance[j * (named.length + 1)]);
      const { [name]: found = 0 } = solution;
      return half > 0 ? [[name, [found - half, found + half]]] : [];
    }),
  );
}

/** Half of the 95 % interval for a new load of middling size, flow and fill: the fit's error, and the load's own scatter. */
function predictionHalfWidth_pct(solution: LoadFitSolution, used: readonly LoadFitRow[]): number {
  const { behind, degrees_of_freedom } = solution;
  if (used.length === 0 || behind.length === 0) return Number.NaN;
  const middle = (of: (row: LoadFitRow) => number) => median(used.map(of));
  const x2_kg = middle(({ load }) => load.x2_kg);
  const fit_kg = loadFitStandardError(
    solution,
    middle(({ load }) => load.x_kg),
    middle(({ load }) => load.running_s),
    Number.isNaN(x2_kg) ? 0 : x2_kg,
    middle(({ load }) => gradeWeighted(solution, load.x_kg, load.moisture_pct, load.test_weight_share)),
  );
  const own_kg = median(behind.map(({ beam_sd_kg, scale_sd_kg }) => Math.hypot(beam_sd_kg, scale_sd_kg)));
  const half_kg = tFromTwoSidedP(0.05, degrees_of_freedom) * Math.hypot(fit_kg, own_kg);
  return (100 * half_kg) / middle(({ load }) => load.scale_kg);
}

/** How far the fitted line itself may be off at each load in use: `t √(aᵀ C a)`, least flow first; empty without an interval. */
function confidenceBand(solution: LoadFitSolution, used: readonly LoadFitRow[]) {
  if (!(solution.degrees_of_freedom > 0)) return [];
  const t = tFromTwoSidedP(0.05, solution.degrees_of_freedom);
  return used
    .map(({ load, predicted_kg }) => {
      const { x_kg, running_s, x2_kg, moisture_pct, test_weight_share } = load;
      const second_kg = Number.isNaN(x2_kg) ? 0 : x2_kg;
      const graded_kg = gradeWeighted(solution, x_kg, moisture_pct, test_weight_share);
      const half_kg = t * loadFitStandardError(solution, x_kg, running_s, second_kg, graded_kg);
      return { flow_kg_s: load.mean_flow_kg_s, half_pct: (100 * half_kg) / predicted_kg };
    })
    .filter(({ flow_kg_s, half_pct }) => Number.isFinite(flow_kg_s) && Number.isFinite(half_pct))
    .sort((a, b) => a.flow_kg_s - b.flow_kg_s);
}

/** Gains that a single wrong load pulls little or not at all. */
function crossChecks(used: readonly LoadFitRow[]) {
  const ratio = Float64Array.from(used, ({ load }) => load.scale_kg / load.x_kg);
  const huber = estimateHuber(
    { columns: [new Float64Array(ratio.length).fill(1)], intercept: 'none' },
    ratio,
  );
  const line = estimateTheilSen(
    Float64Array.from(used, ({ load }) => load.x_kg),
    Float64Array.from(used, ({ load }) => load.scale_kg),
  );
  return {
    huber_k: huber.ok ? finiteOrNull(huber.value.coefficients[0]) : null,
    median_ratio: finiteOrNull(median(ratio)),
    theil_sen_k: finiteOrNull(line.slope),
  };
}

/** Slopes of `100 (scale/predicted − 1)` of the loads in use; only those that the loads can show. */
export function residualSlopes(used: readonly LoadFitRow[]): ResidualSlope[] {
  const first_s = Math.min(...used.map(({ load }) => load.start_s));
  const against: readonly (readonly [ResidualSlope['against'], (row: LoadFitRow) => number])[] = [
    ['time_d', ({ load }) => ((load.start_s + load.end_s) / 2 - first_s) / SECONDS_PER_DAY],
    ['flow_kg_s', ({ load }) => load.mean_flow_kg_s],
    ['moisture_pct', ({ load }) => load.moisture_pct],
    ['test_weight_kg_hl', ({ load }) => load.bulk_density_kg_m3 / KG_M3_PER_KG_HL],
  ];
  return against.flatMap(([name, of]) => {
    const x = Float64Array.from(used, of);
    const slope = slopeOf(
      x,
      Float64Array.from(used, (row) => 100 * (row.load.scale_kg / row.predicted_kg - 1)),
    );
    return slope === undefined ? [] : [{ against: name, ...slope }];
  });
}

function slopeOf(x: Float64Array, residual_pct: Float64Array): Omit<ResidualSlope, 'against'> | undefined {
  if (x.length < LEAST_FOR_SLOPE || x.some((element) => !Number.isFinite(element))) return undefined;
  const range = Math.max(...x) - Math.min(...x);
  if (!(range > LEAST_VARIATION * Math.max(...x.map(Math.abs)))) return undefined;
  const fit = estimateRegression({ columns: [x], intercept: 'fitted' }, residual_pct);
  if (!fit.ok) return undefined;
  const slope_pct = fit.value.coefficients[1];
  const se_pct = fit.value.standard_errors[1];
  if (!(se_pct > 0)) return undefined;
  const t = slope_pct / se_pct;
  return { slope_pct, se_pct, t, p: twoSidedPFromT(t, fit.value.degrees_of_freedom) };
}

/** The summaries of a season's calibrations with their diagnostics, over all grain under each of the fits. */
export function diagnosedCalibrations(
  { summaries, solutions, massFitOf }: Pick<SeasonCalibration, 'summaries' | 'solutions' | 'massFitOf'>,
  fields: readonly HarvestedField[],
  crops: readonly Crop[],
): CalibrationSummary[] {
  const cropOf = (name: string) => crops.find((crop) => crop.name === name);
  return summaries.map((summary, s) => {
    const grain = harvestedGrain(fields, (machine, name, field) => {
      const crop = cropOf(name);
      return crop !== undefined && massFitOf(machine, crop, field).fit === solutions[s];
    });
    return { ...summary, diagnostics: calibrationDiagnostics(solutions[s], grain) };
  });
}
