/** How far a point's yield is from what grew there because grain of other ground came through with it. */
import { upperBound } from '../columns.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** Yields are compared with those so many mixings later, over which they are as good as unmixed. */
const APART_MIXINGS = 2;
/**
 * Share of the standard deviation between such yields that a point is off by. Between 0.65, where yields wander (linear
 * variogram, exponential response: `√(0.472 / 1.135)`), and 1, where they change from point to point; from simulation.
 */
const MIXED_SHARE = 0.9;
/** Differences below which nothing is told of their scatter. */
const LEAST_DIFFERENCES = 30;

/** One machine's rows in the order of time. */
export interface MixedRows {
  readonly t_s: Float64Array;
  readonly pass: Int32Array;
  readonly yield_kg_m2: Float64Array;
}

/**
 * Standard error by mixing of every row of the plot, kg/m²: `0.9 · 1.4826 median|y(t + 2τ) − y(t)| / √2` over pairs within a
 * pass. 0 without a mixing, or with too few pairs to judge.
 */
export function mixingError({ t_s, pass, yield_kg_m2 }: MixedRows, mixing_s: number): number {
  if (!(mixing_s > 0)) return 0;
  const differences: number[] = [];
  for (let i = 0; i < t_s.length; i++) {
    if (pass[i] < 0) continue;
    const j = upperBound(t_s, t_s[i] + APART_MIXINGS * mixing_s);
    if (j >= t_s.length || pass[j] !== pass[i]) continue;
    const difference = Math.abs(yield_kg_m2[j] - yield_kg_m2[i]);
    if (Number.isFinite(difference)) differences.push(difference);
  }
  if (differences.length < LEAST_DIFFERENCES) return 0;
  return (MIXED_SHARE * MAD_TO_SD * median(differences)) / Math.SQRT2;
}
