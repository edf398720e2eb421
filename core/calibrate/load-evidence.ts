/**
 * How well an explanation accounts for the loads: some are wrong, and the others follow one of the load models.
 *
 * Under each model the ratios scatter about a line whose slope is not known but seldom large, and by an amount that is
 * not known but near what scale and beam are expected to give. Both are integrated out (conjugate normal and inverse
 * gamma [Gelman2013 §3.2, 14.2]), which leaves Student's t with a covariance that grows away from the loads at hand: a
 * load far outside the flows of the others is judged by what a zero error or a bent gain could do there.
 */
import { gammaln } from 'simple-statistics';
import { mean } from '../stats/moments.ts';
import { median } from '../stats/quantiles.ts';
import { PRIOR_LOADS } from './deletion-residual.ts';
import { fitRatios, type LoadModel, type LoadRatios, predictorOf, type RatioFit } from './ratio-fit.ts';

/** What a sensor does, whatever the grain: the models under which wrong loads are sought. */
const WEIGHED_MODELS = ['gain', 'gain_zero', 'gain_curvature'] as const satisfies readonly LoadModel[];
type WeighedModel = (typeof WEIGHED_MODELS)[number];

/** How far a gain usually bends, as a share of it at mean fill; ours. */
export const USUAL_BEND = 0.08;

/** How often each model is met, and how large its second term usually is, as a share of the load at mean flow; ours. */
const PRIOR: Readonly<Record<WeighedModel, { readonly odds: number; readonly usual_share: number }>> = {
  gain: { odds: 6, usual_share: 0 },
  gain_zero: { odds: 1, usual_share: 0.03 },
  gain_curvature: { odds: 1, usual_share: USUAL_BEND },
};
/** One ticket in so many is wrong; ours. */
const ONE_WRONG_IN = 15;

/** −2 × logarithms of evidence, up to a constant: the smaller, the likelier. */
export interface ExplanationCosts {
  /** That the others follow this model. */
  readonly byModel: readonly { readonly model: WeighedModel; readonly cost: number }[];
  /** That they follow any of them. */
  readonly cost: number;
}

/** Weighs explanations of `loads`: the answer takes 1 for each load that is wrong, 0 for the others. */
export function explanationsOf(loads: LoadRatios): (wrong: Uint8Array) => ExplanationCosts {
  const usual_ratio = median(loads.ratio);
  const slopeVariance = WEIGHED_MODELS.map((model) => usualSlope(loads, model, usual_ratio) ** 2);
  // a wrong ratio lies anywhere from half to one and a half times the usual one
  const cost_of_wrong = 2 * Math.log(ONE_WRONG_IN * usual_ratio);
  const cost_of_right = loads.ratio_sigma.map((sigma) => 2 * Math.log(sigma));
  return (wrong) => {
    const gain = fitRatios(loads, wrong, 'gain');
    if (gain === undefined) return { byModel: [], cost: Number.POSITIVE_INFINITY };
    const shared =
      normalisingCost(gain) +
      wrong.reduce((sum, is, i) => sum + (is === 1 ? cost_of_wrong : cost_of_right[i]), 0);
    const byModel = WEIGHED_MODELS.map((model, m) => {
      // where the others cannot tell a second coefficient from the gain, it adds nothing
      const fit = (model === 'gain' ? gain : fitRatios(loads, wrong, model)) ?? gain;
      return { model, cost: shared + costOfFit(fit, slopeVariance[m]) - 2 * Math.log(PRIOR[model].odds) };
    });
    return { byModel, cost: jointCost(byModel.map(({ cost }) => cost)) };
  };
}

/** Cost of several explanations taken together: −2 ln Σ e^(−cost/2), without underflow; infinite for none. */
export function jointCost(costs: readonly number[]): number {
  const least = costs.reduce((least_so_far, cost) => Math.min(least_so_far, cost), Number.POSITIVE_INFINITY);
  if (!Number.isFinite(least)) return least;
  return least - 2 * Math.log(costs.reduce((sum, cost) => sum + Math.exp((least - cost) / 2), 0));
}

/**
 * −2 ln of the multivariate t density of the loads in the fit, but for their own deviations and `normalisingCost`; flat
 * in k, and with the slope's variance brought in by the matrix determinant and Sherman-Morrison formulas.
 */
function costOfFit(fit: RatioFit, slopeVariance: number): number {
  const widened = 1 + slopeVariance * fit.spread;
  const chi_square = fit.chi_square + (fit.slope * fit.slope * fit.spread) / widened;
  return (PRIOR_LOADS + fit.n - 1) * Math.log1p(chi_square / PRIOR_LOADS) + Math.log(widened);
}

/** What the number of loads in use and their weights make of that density, whatever the model. */
function normalisingCost({ n, weight }: RatioFit): number {
  const free = n - 1;
  const gammas = gammaln(PRIOR_LOADS / 2) - gammaln((PRIOR_LOADS + free) / 2);
  return free * Math.log(PRIOR_LOADS * Math.PI) + 2 * gammas + Math.log(weight);
}

/** Standard deviation of the slope before anything is known of it; 0 where the model has none. */
function usualSlope(loads: LoadRatios, model: WeighedModel, usual_ratio: number): number {
  const predictor = predictorOf(loads, model);
  return predictor.length > 0 ? (PRIOR[model].usual_share * usual_ratio) / mean(predictor) : 0;
}
