/** Order statistics of columns. NaN is absent and left out; an empty column has no answer (NaN). */

/** Makes the median absolute deviation estimate the standard deviation of normal data: 1/Φ⁻¹(3/4). */
export const MAD_TO_SD = 1.482602218505602;

/** The finite elements in ascending order, a new column. */
export function sortedFinite(column: ArrayLike<number>): Float64Array {
  const finite = new Float64Array(column.length);
  let count = 0;
  for (let i = 0; i < column.length; i++) if (Number.isFinite(column[i])) finite[count++] = column[i];
  return finite.slice(0, count).sort();
}

/**
 * Quantile of an ascending column without NaN, definition 7 of [HyndmanFan1996]: linear between order statistics at
 * `h = (n − 1)·p`. NaN when empty. @throws RangeError when p is outside 0..1.
 */
function quantileOfSorted(sorted: Float64Array, p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`A quantile needs a probability from 0 to 1, not ${p}.`);
  if (sorted.length === 0) return Number.NaN;
  const h = (sorted.length - 1) * p;
  const low = Math.floor(h);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (h - low) * (sorted[high] - sorted[low]);
}

/** Quantile of a column in any order: [HyndmanFan1996] definition 7. */
export function quantile(column: ArrayLike<number>, p: number): number {
  return quantileOfSorted(sortedFinite(column), p);
}

/** Middle element, or the mean of the middle two. */
export function median(column: ArrayLike<number>): number {
  return quantile(column, 0.5);
}

/** Median absolute deviation from `centre`, times 1.4826: the robust standard deviation [Hampel1974]. */
export function scaledMad(column: ArrayLike<number>, centre = median(column)): number {
  const deviations = Float64Array.from(column, (x) => Math.abs(x - centre));
  return MAD_TO_SD * median(deviations);
}
