/** How many loads are enough, and which flow the next one should have. */
import { fittedCoefficients, isLoadModel } from '../calibrate/fitted-coefficients.ts';
import { type Load, ratiosOfLoads } from '../calibrate/load.ts';
import { applyLoadFit, loadFitStandardError } from '../calibrate/load-coefficients.ts';
import { type LoadFitSolution, massOfLoad } from '../calibrate/load-fit.ts';
import { fitLoadModel } from '../calibrate/load-model.ts';
import { expectedRatioVariance, fitRatios } from '../calibrate/ratio-fit.ts';
import { median, quantile } from '../stats/quantiles.ts';
import type { HarvestedGrain } from './harvested-grain.ts';

/** Loads beyond those at hand of which the gain in accuracy is told. */
const MORE_LOADS = 5;
/** Flows between these quantiles of the kept points are what a load can be cut at on purpose. */
const FLOW_RANGE = { least: 0.1, most: 0.9 };
const CANDIDATES = 9;

/** A load in use, and the flow at which the middle of its grain passed. */
export interface PlacedLoad {
  readonly load: Load;
  readonly flow_kg_s: number;
}

/**
 * Flow at which one more load narrows a line through the loads' ratios most, at the ends of the flows harvested (G-optimal
 * design [AtkinsonDonev1992]): a curvature where the fill is known, else a zero error. NaN without loads, and where a tenth of
 * the points hold no grain: no load can be cut at that.
 */
export function nextFlow(placed: readonly PlacedLoad[], { flow_kg_s }: HarvestedGrain): number {
  if (placed.length === 0 || flow_kg_s.length === 0) return Number.NaN;
  const loads = placed.map(({ load }) => load);
  const least = quantile(flow_kg_s, FLOW_RANGE.least);
  if (!(least > 0)) return Number.NaN;
  const step = (quantile(flow_kg_s, FLOW_RANGE.most) - least) / (CANDIDATES - 1);
  const flows = Array.from({ length: CANDIDATES }, (_, i) => least + i * step);
  const ends = [flows[0], flows[CANDIDATES - 1]].map((flow) => loadAt(placed, flow));
  const worst = flows.map((flow) => worstVariance([...loads, loadAt(placed, flow)], ends));
  return flows[worst.indexOf(Math.min(...worst))] ?? Number.NaN;
}

/** Greatest variance of the line at the given loads, which are not part of it. */
function worstVariance(loads: readonly Load[], at: readonly Load[]): number {
  const ratios = ratiosOfLoads([...loads, ...at]);
  const left_out = Uint8Array.from({ length: loads.length + at.length }, (_, i) =>
    i < loads.length ? 0 : 1,
  );
  const model = ratios.mean_fill.length > 0 ? 'gain_curvature' : 'gain_zero';
  const fit = fitRatios(ratios, left_out, model);
  if (fit === undefined) return Number.POSITIVE_INFINITY;
  return Math.max(...at.map((_, i) => expectedRatioVariance(fit, ratios, loads.length + i)));
}

/** A load of middling size, cut at that flow: heaps fill the pitch in proportion to it, turns take their share of the time. */
function loadAt(placed: readonly PlacedLoad[], flow_kg_s: number): Load {
  const middle = (of: (each: PlacedLoad) => number) => median(placed.map(of));
  const scale_kg = middle(({ load }) => load.scale_kg);
  const x_kg = scale_kg / middle(({ load }) => load.scale_kg / load.x_kg);
  const fill_s_kg = middle(({ load, flow_kg_s: flow }) => load.x2_kg / load.x_kg / flow);
  const mean_flow_kg_s = flow_kg_s * middle(({ load, flow_kg_s: flow }) => load.mean_flow_kg_s / flow);
  return {
    ...placed[0].load,
    scale_kg,
    scale_sigma_kg: middle(({ load }) => load.scale_sigma_kg),
    x_kg,
    x2_kg: x_kg * fill_s_kg * flow_kg_s,
    running_s: scale_kg / mean_flow_kg_s,
    mean_flow_kg_s,
    moisture_pct: middle(({ load }) => load.moisture_pct),
  };
}

/**
 * Standard error from the calibration, of a total of such grain that no scale weighs: with the loads at hand, and with up
 * to five more at the flow that helps most, % of it.
 */
export function enoughLoads(
  solution: LoadFitSolution,
  placed: readonly PlacedLoad[],
  grain: HarvestedGrain,
  next_flow_kg_s: number,
): readonly { readonly loads: number; readonly total_se_pct: number }[] {
  const { model, degrees_of_freedom: df } = solution;
  const { x_kg, running_s, x2_kg, xm_kg } = grain;
  const loads = placed.map(({ load }) => load);
  if (!isLoadModel(model) || !(df > 0) || Number.isNaN(next_flow_kg_s)) return [];
  const total_kg = applyLoadFit(solution, x_kg, running_s, x2_kg, xm_kg);
  const told: { loads: number; total_se_pct: number }[] = [];
  for (let more = 0; more <= MORE_LOADS; more++) {
    const ratios = ratiosOfLoads(loads);
    const fit = fitLoadModel(loads, ratios, model);
    if (fit === undefined) break;
    const fitted = fittedCoefficients({ model, fit, loads, ratios, known: undefined });
    const { curvature_sd, mean_fill } = fitted.unfitted;
    const bend_kg = curvature_sd === 0 ? 0 : curvature_sd * (x2_kg - mean_fill * x_kg);
    // a load that was added agrees exactly, which no load does: its luck is taken out of the scatter again
    const luck = Math.sqrt((df + more) / df);
    const own_kg = luck * loadFitStandardError(fitted, x_kg, running_s, x2_kg, xm_kg);
    const total_se_pct = (100 * Math.hypot(own_kg, bend_kg)) / total_kg;
    if (Number.isFinite(total_se_pct)) told.push({ loads: loads.length, total_se_pct });
    const added = loadAt(placed, next_flow_kg_s);
    const scale_kg = massOfLoad(solution, added);
    loads.push({ ...added, scale_kg });
  }
  return told;
}
