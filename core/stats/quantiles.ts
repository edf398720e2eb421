/** Order statistics of columns. NaN is absent and left out; an empty column has no answer (NaN). */
import { quickselect } from 'simple-statistics';

/** Makes the median absolute deviation estimate the standard deviation of normal data: 1/Φ⁻¹(3/4). */
export const MAD_TO_SD = 1.482602218505602;

/** The finite elements in ascending order, a new column. */
export function sortedFinite(column: ArrayLike<number>): Float64Array {
  return finite(column).sort();
}

function finite(column: ArrayLike<number>): Float64Array {
  const kept = new Float64Array(column.length);
  let count = 0;
  for (let i = 0; i < column.length; i++) if (Number.isFinite(column[i])) kept[count++] = column[i];
  return kept.subarray(0, count);
}

/**
 * Quantile of a column in any order, definition 7 of [HyndmanFan1996]: linear between order statistics at `h = (n − 1)·p`.
 * NaN when empty. By selection, not sorting: O(n). @throws RangeError when p is outside 0..1.
 */
export function quantile(column: ArrayLike<number>, p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`A quantile needs a probability from 0 to 1, not ${p}.`);
  const selected = finite(column);
  if (selected.length === 0) return Number.NaN;
  const h = (selected.length - 1) * p;
  const low = Math.floor(h);
  // works in place on any indexed numbers, typed for plain arrays only
  if (selected.length > 1) quickselect(selected as unknown as number[], low, 0, selected.length - 1);
  if (h === low) return selected[low];
  let next = Number.POSITIVE_INFINITY;
  for (let i = low + 1; i < selected.length; i++) if (selected[i] < next) next = selected[i];
  return selected[low] + (h - low) * (next - selected[low]);
}

/** Middle element, or the mean of the middle two. */
export function median(column: ArrayLike<number>): number {
  return quantile(column, 0.5);
}

/** Median absolute deviation from `centre`, times 1.4826: the robust standard deviation [Hampel1974]. */
export function scaledMad(column: ArrayLike<number>, centre = median(column)): number {
  const deviations = new Float64Array(column.length);
  for (let i = 0; i < deviations.length; i++) deviations[i] = Math.abs(column[i] - centre);
  return MAD_TO_SD * median(deviations);
}
