/** Means and spreads, always about the mean: no sums of squares on big offsets. NaN is absent and left out. */

/** Mean; NaN when empty. Two passes, so that an offset of 1e9 costs no digits. */
export function mean(column: ArrayLike<number>): number {
  const rough = plainMean(column, 0);
  return rough + plainMean(column, rough);
}

/**
 * Weighted mean `Σwx/Σw` over finite elements of positive weight; NaN when there is none.
 * @throws RangeError when the columns differ in length.
 */
export function weightedMean(column: ArrayLike<number>, weights: ArrayLike<number>): number {
  if (column.length !== weights.length)
    throw new RangeError(`A weighted mean needs a weight each: ${column.length} and ${weights.length}.`);
  const rough = plainWeightedMean(column, weights, 0);
  return rough + plainWeightedMean(column, weights, rough);
}

/** Sample standard deviation (n − 1 in the divisor); NaN below two elements. */
export function standardDeviation(column: ArrayLike<number>): number {
  const centre = mean(column);
  let squares = 0;
  let n = 0;
  for (let i = 0; i < column.length; i++) {
    if (!Number.isFinite(column[i])) continue;
    squares += (column[i] - centre) ** 2;
    n++;
  }
  return n > 1 ? Math.sqrt(squares / (n - 1)) : Number.NaN;
}

/** Mean of `column − origin`. */
function plainMean(column: ArrayLike<number>, origin: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < column.length; i++) {
    if (!Number.isFinite(column[i])) continue;
    sum += column[i] - origin;
    count++;
  }
  return count > 0 ? sum / count : Number.NaN;
}

/** Weighted mean of `column − origin`. */
function plainWeightedMean(column: ArrayLike<number>, weights: ArrayLike<number>, origin: number): number {
  let sum = 0;
  let total = 0;
  for (let i = 0; i < column.length; i++) {
    if (!(Number.isFinite(column[i]) && weights[i] > 0)) continue;
    sum += weights[i] * (column[i] - origin);
    total += weights[i];
  }
  return total > 0 ? sum / total : Number.NaN;
}
