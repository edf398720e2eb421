import {
  expectedRatio,
  expectedRatioVariance,
  fitRatios,
  type LoadModel,
  type LoadRatios,
} from './ratio-fit.ts';

/** The expected scatter of loads counts as much as the scatter of this many loads more; ours. */
export const PRIOR_LOADS = 4;

/** A load against the others. */
export interface DeletionResidual {
  /** Ratio of scale to beam that the others expect of it; NaN when there are no others. */
  readonly expected_ratio: number;
  /** Standard deviation of the difference. */
  readonly deviation: number;
  /** Difference over its standard deviation; follows Student's t with `df`. */
  readonly studentised: number;
  readonly df: number;
}

/**
 * Load `i` against the fit of the others whose `left_out` is 0. Their scatter is pooled with the expected one, as in a
 * moderated t test [Smyth2004]: `s² = (4 + χ²)/(4 + n − p)` in units of the expected variance, so that two loads that
 * happen to agree to the kilogram do not condemn a third. Where the others cannot fix the model, a gain stands in.
 */
export function deletionResidual(
  loads: LoadRatios,
  left_out: Uint8Array,
  model: LoadModel,
  i: number,
): DeletionResidual {
  const without = left_out.slice();
  without[i] = 1;
  const fit = fitRatios(loads, without, model) ?? fitRatios(loads, without, 'gain');
  if (fit === undefined)
    return { expected_ratio: Number.NaN, deviation: Number.NaN, studentised: Number.NaN, df: PRIOR_LOADS };
  const df = PRIOR_LOADS + fit.n - fit.coefficients;
  const pooled = (PRIOR_LOADS + fit.chi_square) / df;
  const expected_ratio = expectedRatio(fit, loads, i);
  const variance = loads.ratio_sigma[i] ** 2 + expectedRatioVariance(fit, loads, i);
  const deviation = Math.sqrt(pooled * variance);
  return { expected_ratio, deviation, studentised: (loads.ratio[i] - expected_ratio) / deviation, df };
}
