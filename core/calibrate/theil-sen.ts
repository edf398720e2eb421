import { median } from '../stats/quantiles.ts';

/** A straight line through the middle of the pairs. NaN where no two x differ. */
export interface TheilSenSolution {
  readonly slope: number;
  /** Median of `y − slope × x`. */
  readonly intercept: number;
}

/**
 * Theil–Sen line: the median of the slopes of all pairs whose x differ [Theil1950; Sen1968], and the median of what is
 * left as intercept. Stands up to 29 % wrong points; O(n²) pairs, meant for loads by the dozen.
 * Pairs with a NaN are left out. @throws RangeError when the columns differ in length.
 */
export function estimateTheilSen(x: Float64Array, y: Float64Array): TheilSenSolution {
  if (x.length !== y.length)
    throw new RangeError(`A line needs as many x as y, not ${x.length} and ${y.length}.`);
  const slopes: number[] = [];
  for (let i = 0; i < x.length; i++)
    for (let j = i + 1; j < x.length; j++) if (x[i] !== x[j]) slopes.push((y[j] - y[i]) / (x[j] - x[i]));
  const slope = median(slopes);
  return { slope, intercept: median(y.map((element, i) => element - slope * x[i])) };
}
