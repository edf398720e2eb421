/**
 * Natural breaks: the classes whose sums of squares about their means are least in all [Fisher1958; Jenks1977], exactly. The
 * best first element of the last class moves only upwards as numbers are added, so that each class costs O(m log m) over m
 * different numbers instead of O(m²) [GronlundLarsen2017].
 */
import { sortedFinite } from './quantiles.ts';

export interface NaturalBreaks {
  /** First number of every class but the lowest: class i holds what is at or above limit i−1 and below limit i. */
  readonly limits: readonly number[];
  /** Sum of squares about the means of the classes. */
  readonly squares_within: number;
  /** 1 − within over total: goodness of variance fit. */
  readonly goodness: number;
}

/** At most `count` classes, fewer where fewer numbers differ; NaN is left out. Throws RangeError for a count below one. */
export function naturalBreaks(column: ArrayLike<number>, count: number): NaturalBreaks {
  if (!(Number.isInteger(count) && count >= 1)) throw new RangeError(`there are no ${count} classes`);
  const { different, times } = tallied(sortedFinite(column));
  const m = different.length;
  if (m === 0) return { limits: [], squares_within: 0, goodness: Number.NaN };
  const cost = costOfStretch(different, times);
  const classes = Math.min(count, m);
  let least = Float64Array.from(different, (_, j) => cost(0, j));
  const firsts: Int32Array[] = [];
  for (let made = 1; made < classes; made++) {
    const next = new Float64Array(m).fill(Number.POSITIVE_INFINITY);
    const first = new Int32Array(m);
    fillBest({ least, next, first, cost }, made, m - 1, made, m - 1);
    firsts.push(first);
    least = next;
  }
  const limits: number[] = [];
  for (let made = firsts.length - 1, end = m - 1; made >= 0; made--) {
    const start = firsts[made][end];
    limits.unshift(different[start]);
    end = start - 1;
  }
  const total = cost(0, m - 1);
  return {
    limits,
    squares_within: least[m - 1],
    goodness: total > 0 ? 1 - least[m - 1] / total : Number.NaN,
  };
}

interface Layer {
  /** Least squares of the numbers up to each in one class fewer. */
  readonly least: Float64Array;
  readonly next: Float64Array;
  readonly first: Int32Array;
  readonly cost: (from: number, to: number) => number;
}

/** Best first element of the last class for the ends `from` … `to`, known to lie in `low` … `high`. */
function fillBest(layer: Layer, from: number, to: number, low: number, high: number): void {
  if (from > to) return;
  const end = (from + to) >> 1;
  const { least, next, first, cost } = layer;
  for (let start = low; start <= Math.min(high, end); start++) {
    const squares = least[start - 1] + cost(start, end);
    if (squares >= next[end]) continue;
    next[end] = squares;
    first[end] = start;
  }
  fillBest(layer, from, end - 1, low, first[end]);
  fillBest(layer, end + 1, to, first[end], high);
}

/** Different numbers, and how often each occurs. */
function tallied(sorted: Float64Array): { different: Float64Array; times: Float64Array } {
  const different = new Float64Array(sorted.length);
  const times = new Float64Array(sorted.length);
  let m = 0;
  for (const number of sorted) {
    if (m === 0 || number !== different[m - 1]) different[m++] = number;
    times[m - 1]++;
  }
  return { different: different.subarray(0, m), times: times.subarray(0, m) };
}

/** Sum of squares about the mean of any stretch, from running sums about the middle number. */
function costOfStretch(different: Float64Array, times: Float64Array): (from: number, to: number) => number {
  const m = different.length;
  const middle = different[m >> 1];
  const [counts, sums, squares] = [new Float64Array(m + 1), new Float64Array(m + 1), new Float64Array(m + 1)];
  for (let j = 0; j < m; j++) {
    const off = different[j] - middle;
    counts[j + 1] = counts[j] + times[j];
    sums[j + 1] = sums[j] + times[j] * off;
    squares[j + 1] = squares[j] + times[j] * off * off;
  }
  return (from, to) => {
    const sum = sums[to + 1] - sums[from];
    const about = squares[to + 1] - squares[from] - (sum * sum) / (counts[to + 1] - counts[from]);
    return Math.max(0, about);
  };
}
