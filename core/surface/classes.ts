/** Classes of a surface: limits by rule or by hand, and the class of every cell. */
import { mean, standardDeviation } from '../stats/moments.ts';
import { naturalBreaks } from '../stats/natural-breaks.ts';
import { sortedFinite } from '../stats/quantiles.ts';

export interface ClassSheet {
  readonly method: 'equal' | 'quantile' | 'natural' | 'standard_deviation' | 'user';
  /** Classes wanted; 5 when absent. Of `user`, the limits say it. */
  readonly count?: number;
  /** Of `user`: inner limits, ascending. */
  readonly limits?: readonly number[];
}

export const USUAL_CLASSES = 5;
export const MOST_CLASSES = 20;

/**
 * Inner limits, ascending: class i lies from limit i−1 up to below limit i; the outer two are open.
 *
 * - `equal`: the same width each, from least to greatest.
 * - `quantile`: the same number of cells each, limits by definition 7 of [HyndmanFan1996].
 * - `natural`: least squares within classes (`naturalBreaks`).
 * - `standard_deviation`: one standard deviation wide each, the same number on either side of the mean.
 * - `user`: as given.
 *
 * Limits that coincide, or that leave a class of `standard_deviation` empty at an end, are dropped: there are then fewer
 * classes. Throws RangeError for a count or for limits that are none.
 */
export function classLimits(column: ArrayLike<number>, sheet: ClassSheet): number[] {
  const { method, count = USUAL_CLASSES, limits = [] } = sheet;
  if (!(Number.isInteger(count) && count >= 1 && count <= MOST_CLASSES))
    throw new RangeError(`a surface has 1 to ${MOST_CLASSES} classes, not ${count}`);
  if (method === 'user') {
    if (limits.some((limit, i) => !Number.isFinite(limit) || limit <= limits[i - 1]))
      throw new RangeError(`limits of classes ascend, unlike ${limits.join(', ')}`);
    return [...limits];
  }
  if (method === 'natural') return [...naturalBreaks(column, count).limits];
  const sorted = sortedFinite(column);
  if (sorted.length === 0 || sorted[0] === sorted[sorted.length - 1]) return [];
  const inner = Array.from({ length: count - 1 }, (_, i) => i + 1);
  return ascending(limitsBy[method](sorted, inner, count));
}

type Method = (sorted: Float64Array, inner: readonly number[], count: number) => number[];

const limitsBy: Readonly<Record<'equal' | 'quantile' | 'standard_deviation', Method>> = {
  equal: (sorted, inner, count) => {
    const [least, greatest] = [sorted[0], sorted[sorted.length - 1]];
    return inner.map((i) => least + ((greatest - least) * i) / count);
  },
  quantile: (sorted, inner, count) => inner.map((i) => quantileOfSorted(sorted, i / count)),
  standard_deviation: (sorted, inner, count) => {
    const centre = mean(sorted);
    const sd = standardDeviation(sorted);
    const limits = inner.map((i) => centre + (i - count / 2) * sd);
    return limits.filter((limit) => limit > sorted[0] && limit <= sorted[sorted.length - 1]);
  },
};

function quantileOfSorted(sorted: Float64Array, p: number): number {
  const h = (sorted.length - 1) * p;
  const low = Math.floor(h);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (h - low) * (sorted[high] - sorted[low]);
}

function ascending(limits: readonly number[]): number[] {
  return limits.filter((limit, i) => i === 0 || limit > limits[i - 1]);
}

/** The class of each number, 0 … number of limits; −1 for NaN. */
export function classesOf(column: ArrayLike<number>, limits: readonly number[]): Int32Array {
  const classes = new Int32Array(column.length);
  for (let i = 0; i < classes.length; i++) {
    const amount = column[i];
    let low = 0;
    let high = limits.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (amount >= limits[middle]) low = middle + 1;
      else high = middle;
    }
    classes[i] = Number.isNaN(amount) ? -1 : low;
  }
  return classes;
}
