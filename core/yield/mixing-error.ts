/** How far a point's yield is from what grew there because grain of other ground came through with it. */
import { upperBound } from '../columns.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** Yields are compared with those one mixing later. */
const APART_MIXINGS = 1;
/**
 * What a point is off by, over the standard deviation between such yields. 1.13 where yields wander (linear variogram,
 * exponential response: `√(0.472 / 0.368)`), more where they change from point to point; from simulation.
 */
const MIXED_SHARE = 1.4;
/** Differences below which nothing is told of their scatter. */
const LEAST_DIFFERENCES = 30;

/** One machine's rows in the order of time. */
export interface MixedRows {
  readonly t_s: Float64Array;
  readonly pass: Int32Array;
  readonly yield_kg_m2: Float64Array;
}

/**
 * Standard error by mixing of every row of the plot, kg/m²: `1.4 · 1.4826 median|y(t + τ) − y(t)| / √2` over pairs within a
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
