/**
 * Which loads contradict the others: a mistyped ticket, a weight from another load, wrong times.
 *
 * A wrong load must not hide itself by pulling the fit (masking), must not make honest ones look bad (swamping), and a
 * zero error of the sensor, which makes loads of low flow look bad under a plain gain, must not be taken for a wrong
 * ticket. So every way of explaining the loads is weighed: either model, with any of the worst loads set aside. The
 * search starts from a robust line and exchanges loads until nothing improves (the concentration steps of
 * [RousseeuwVanDriessen2006]); the way with the lowest cost is kept. Then each suspect must convince on its own:
 * deletion residual beyond Student's t with Bonferroni's correction [BeckmanCook1983], and an error that matters.
 *
 * With few loads their own scatter says little, so it is pooled with what loads are known to scatter (as in a
 * moderated t test [Smyth2004]).
 */
import { median } from '../stats/quantiles.ts';
import { tFromTwoSidedP } from '../stats/student-t.ts';
import { deletionResidual, PRIOR_LOADS } from './deletion-residual.ts';
import { expectedRatio, fitRatios, type LoadModel, type LoadRatios, type RatioFit } from './ratio-fit.ts';
import { estimateTheilSen } from './theil-sen.ts';

/** Numbers of the search; each may be set. */
export interface WrongLoadOptions {
  /** A load is called wrong only when it is off by more than this, % of what the others expect. */
  readonly least_error_pct?: number;
  /** Chance that one honest load of a season is accused, all loads together. */
  readonly significance?: number;
}

const DEFAULTS = { least_error_pct: 2.5, significance: 0.1 } as const;

/**
 * What it costs to call a load wrong, in units of −2 log likelihood: twice the log of the odds of an honest ticket
 * (about 30 to 1, ours) plus twice the log of how much wider wrong ones lie than honest ones (100 expected deviations,
 * that is half the load up or down): 2 ln 30 + 2 ln(100/√(2π)) = 14.
 */
const COST_OF_WRONG_LOAD = 14;
/** What it costs to assume a zero error (2 ln 5, rounded), and how large it usually is, as a share of the mean flow; ours. */
const COST_OF_ZERO = 3;
const USUAL_ZERO_SHARE = 0.04;
const MOST_EXCHANGES = 20;

export interface WrongLoadsSolution {
  /** 1 where the load contradicts the others, one element a load. */
  readonly wrong: Uint8Array;
  /** Model under which the others agree best; it need not be the one that is recommended for use. */
  readonly model: LoadModel;
}

/**
 * Find the wrong ones among the loads; at most a third of them, so none of two.
 * @throws RangeError when an element is not finite or an expected deviation is not positive.
 */
export function estimateWrongLoads(loads: LoadRatios, options: WrongLoadOptions = {}): WrongLoadsSolution {
  refuseBadInput(loads);
  const explanation = cheapestExplanation(loads);
  if (explanation === undefined) return { wrong: new Uint8Array(0), model: 'gain' };
  return { wrong: convincing(loads, explanation, options), model: explanation.model };
}

interface Explanation {
  readonly model: LoadModel;
  readonly left_out: Uint8Array;
  readonly fit: RatioFit;
  readonly cost: number;
}

/** Sets of growing size are tried until this many in a row cost more than the best: a few wrong loads may hide each other. */
const PATIENCE = 3;

function cheapestExplanation(loads: LoadRatios): Explanation | undefined {
  let best: Explanation | undefined;
  for (const model of ['gain', 'gain_zero'] as const) {
    let bestOfModel: Explanation | undefined;
    let previous: Uint8Array = new Uint8Array(loads.ratio.length);
    for (let size = 0, worse = 0; size <= Math.floor(loads.ratio.length / 3) && worse < PATIENCE; size++) {
      const here = cheapestOfSize(loads, model, size, previous);
      if (here === undefined) break;
      previous = here.left_out;
      const better = bestOfModel === undefined || here.cost < bestOfModel.cost;
      if (better) bestOfModel = here;
      worse = better ? 0 : worse + 1;
    }
    if (bestOfModel !== undefined && (best === undefined || bestOfModel.cost < best.cost)) best = bestOfModel;
  }
  return best;
}

/** Best set of `size` loads to leave out, from the robust line's worst and from each addition to the previous set. */
function cheapestOfSize(
  loads: LoadRatios,
  model: LoadModel,
  size: number,
  previous: Uint8Array,
): Explanation | undefined {
  const starts = [worst(robustErrors(loads, model), size)];
  if (size > 0)
    for (let i = 0; i < previous.length; i++)
      if (previous[i] === 0) starts.push(previous.map((out, j) => (j === i ? 1 : out)));
  let best: Explanation | undefined;
  for (const start of starts) {
    const here = exchanged(loads, model, size, start);
    if (here !== undefined && (best === undefined || here.cost < best.cost)) best = here;
  }
  return best;
}

/** Refit and leave out the then worst, until that is the same set. */
function exchanged(
  loads: LoadRatios,
  model: LoadModel,
  size: number,
  start: Uint8Array,
): Explanation | undefined {
  let best: Explanation | undefined;
  let left_out = start;
  for (let step = 0; step < MOST_EXCHANGES; step++) {
    const fit = fitRatios(loads, left_out, model);
    if (fit === undefined) return best;
    const cost = costOf(fit, size);
    if (best !== undefined && cost >= best.cost) return best;
    best = { model, left_out, fit, cost };
    left_out = worst(errorsOf(loads, fit), size);
  }
  return best;
}

/** −2 log likelihood, up to a constant: Student's t for the scatter, and a price for each assumption. */
function costOf(fit: RatioFit, wrong_loads: number): number {
  const scatter = (PRIOR_LOADS + fit.n) * Math.log1p(fit.chi_square / PRIOR_LOADS);
  const share = (fit.zero_kg_s * fit.centre_s_kg) / fit.k;
  const zero = fit.coefficients === 2 ? COST_OF_ZERO + (share / USUAL_ZERO_SHARE) ** 2 : 0;
  return scatter + zero + COST_OF_WRONG_LOAD * wrong_loads;
}

/**
 * Whether load `i` contradicts the loads whose `left_out` is 0: off by more than matters, and further than Student's t
 * with Bonferroni's correction over all loads lets an honest one be.
 */
export function contradicts(
  loads: LoadRatios,
  left_out: Uint8Array,
  model: LoadModel,
  i: number,
  options: WrongLoadOptions = {},
): boolean {
  const { least_error_pct, significance } = { ...DEFAULTS, ...options };
  const { studentised, expected_ratio, df } = deletionResidual(loads, left_out, model, i);
  const matters = Math.abs(loads.ratio[i] / expected_ratio - 1) > least_error_pct / 100;
  return matters && Math.abs(studentised) > tFromTwoSidedP(significance / loads.ratio.length, df);
}

/** Suspects tested from the least to the worst; one that passes joins those against whom the next is tested. */
function convincing(
  loads: LoadRatios,
  { model, left_out, fit }: Explanation,
  options: WrongLoadOptions,
): Uint8Array {
  const wrong = left_out.slice();
  const errors = errorsOf(loads, fit);
  const suspects = Array.from(wrong.keys()).filter((i) => wrong[i] === 1);
  suspects.sort((i, j) => errors[i] - errors[j]);
  for (const i of suspects) if (!contradicts(loads, wrong, model, i, options)) wrong[i] = 0;
  return wrong;
}

const errorsOf = (loads: LoadRatios, fit: RatioFit): Float64Array =>
  loads.ratio.map((ratio, i) =>
    Math.abs((ratio - expectedRatio(fit, loads.inverse_flow_s_kg[i])) / loads.ratio_sigma[i]),
  );

function robustErrors(loads: LoadRatios, model: LoadModel): Float64Array {
  const { ratio, inverse_flow_s_kg, ratio_sigma } = loads;
  const line =
    model === 'gain' ? { slope: 0, intercept: median(ratio) } : estimateTheilSen(inverse_flow_s_kg, ratio);
  return ratio.map((r, i) =>
    Math.abs((r - line.intercept - line.slope * inverse_flow_s_kg[i]) / ratio_sigma[i]),
  );
}

/** Marks the `size` largest. */
function worst(errors: Float64Array, size: number): Uint8Array {
  const marks = new Uint8Array(errors.length);
  const order = Array.from(errors.keys()).sort((i, j) => errors[j] - errors[i]);
  for (const i of order.slice(0, size)) marks[i] = 1;
  return marks;
}

function refuseBadInput({ ratio, inverse_flow_s_kg, ratio_sigma }: LoadRatios): void {
  for (let i = 0; i < ratio.length; i++) {
    if (!(Number.isFinite(ratio[i]) && Number.isFinite(inverse_flow_s_kg[i])))
      throw new RangeError(
        `Load ${i} has a ratio of ${ratio[i]} and an inverse flow of ${inverse_flow_s_kg[i]}.`,
      );
    if (!(ratio_sigma[i] > 0))
      throw new RangeError(`Load ${i} has an expected deviation of ${ratio_sigma[i]}.`);
  }
}
