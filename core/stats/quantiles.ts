/** Order statistics of columns. NaN is absent and left out; an empty column has no answer (NaN). */
import { quickselect } from 'simple-statistics';

/** Makes the median absolute deviation estimate the standard deviation of normal data: 1/Φ⁻¹(3/4). */
export const MAD_TO_SD = 1.482602218505602;

/** The finite elements in ascending order, a new column. */
export function sortedFinite(column: ArrayLike<number>): Float64Array {
  return finite(column).sort();
}

/** So many are sorted sooner than selected from. */
const FEW = 48;

/** By insertion, in place. */
function sortFew(column: Float64Array): void {
  for (let i = 1; i < column.length; i++) {
    const x = column[i];
    let k = i;
    for (; k > 0 && column[k - 1] > x; k--) column[k] = column[k - 1];
    column[k] = x;
  }
}

function finite(column: ArrayLike<number>): Float64Array {
  // columns apart from plain arrays: a loop that meets one kind alone runs several times as fast
  return finiteOf(column instanceof Float64Array ? column : Float64Array.from(column));
}

function finiteOf(column: Float64Array): Float64Array {
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
  return quantileOf(selected, p);
}

/** Of numbers that are all finite, at least one, which it puts into another order. */
function quantileOf(selected: Float64Array, p: number): number {
  const h = (selected.length - 1) * p;
  const low = Math.floor(h);
  if (selected.length <= FEW) {
    sortFew(selected);
    return h === low ? selected[low] : selected[low] + (h - low) * (selected[low + 1] - selected[low]);
  }
  // works in place on any indexed numbers, typed for plain arrays only
  quickselect(selected as unknown as number[], low, 0, selected.length - 1);
  if (h === low) return selected[low];
  let next = Number.POSITIVE_INFINITY;
  for (let i = low + 1; i < selected.length; i++) if (selected[i] < next) next = selected[i];
  return selected[low] + (h - low) * (next - selected[low]);
}

/** Middle element of finite numbers, or the mean of the middle two; puts them into another order. NaN when there are none. */
export function medianInPlace(column: Float64Array): number {
  return column.length === 0 ? Number.NaN : quantileOf(column, 0.5);
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
