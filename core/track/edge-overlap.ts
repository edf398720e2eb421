/**
 * What the overlaps measured along the edges of passes say about the true ones.
 *
 * A measured overlap is the true one plus the error of two positions. Cut off at zero it would be too large on
 * average; cut off at the header's width a gap between neighbouring passes would be too small. Crop between
 * neighbouring passes was cut by one of them, so measured gaps count as negative overlaps: then errors cancel over
 * the passes of a field, whose area telescopes to the distance between its outermost edges.
 */
import { MAD_TO_SD, median } from '../stats/quantiles.ts';

/** Overlaps measured at header ends, one item a row and side, in time order within each machine. */
export interface EdgeOverlaps {
  /** Runs of items along one edge of one pass with one neighbour. */
  readonly run: Int32Array;
  readonly t_s: Float64Array;
  /** Signed: negative is a sliver. */
  readonly overlap_m: Float64Array;
  /** Ground for each metre of overlap: the way that it was measured on. */
  readonly way_m: Float64Array;
  readonly position_se_m: Float64Array;
}

/** Noise that fixes have at the least, m: what survives smoothing at the best receivers. */
const LEAST_SE_M = 0.01;
/** Averages reach this far to either side for receivers of 0.1 m and worse, and less far for better ones. */
const LONGEST_HALF_WINDOW_S = 15;
const SHORTEST_HALF_WINDOW_S = 1.5;
const WORST_SE_M = 0.1;
/** A gap this many standard errors wide is no measuring error: the crop there was left standing, or cut by nobody here. */
const SIGNIFICANT = 3;
/** Overlaps between these distances (in standard errors) from the mean pass from "error" to "true". */
const SURELY_ERROR = 1.5;
const SURELY_TRUE = 3;
/** Items from which the spread is judged. */
const ENOUGH_ITEMS = 20_000;

/**
 * Estimated true overlap of each item, ≥ 0. Averaged along each run, drawn to the mean of all as far as the spread
 * is no larger than positions explain (empirical Bayes [EfronMorris1975]), and made non-negative without changing
 * the total ground: Σ way·estimate = max(0, Σ way·measured) by a common shift of those that remain positive.
 * Gaps too wide to be errors are 0 and out of the total.
 */
export function estimateOverlaps(items: EdgeOverlaps): Float64Array {
  const n = items.run.length;
  const smooth_m = smoothedAlongRuns(items);
  const spread_m = Math.max(LEAST_SE_M, robustSpread(smooth_m));
  const se_m = items.position_se_m.map((se) => Math.min(Math.SQRT2 * Math.max(LEAST_SE_M, se), spread_m));
  const way_m = new Float64Array(n);
  let way = 0;
  let total_m2 = 0;
  for (let k = 0; k < n; k++) {
    if (smooth_m[k] < -SIGNIFICANT * se_m[k]) continue;
    way_m[k] = items.way_m[k];
    way += way_m[k];
    total_m2 += way_m[k] * items.overlap_m[k];
  }
  if (!(way > 0)) return new Float64Array(n);
  const drawn_m = drawnToMean(smooth_m, se_m, way_m, way);
  return withTotal(drawn_m, way_m, Math.max(0, total_m2));
}

/** Moving averages within runs, weighted by way. */
function smoothedAlongRuns(items: EdgeOverlaps): Float64Array {
  const { run, t_s, overlap_m, way_m, position_se_m } = items;
  const n = run.length;
  const smooth_m = new Float64Array(n);
  for (let from = 0, to = 0; from < n; from = to) {
    to = from + 1;
    while (to < n && run[to] === run[from]) to++;
    let first = from;
    let next = from;
    let way = 0;
    let ground = 0;
    for (let k = from; k < to; k++) {
      const half_s = halfWindow(position_se_m[k]);
      for (; next < to && t_s[next] <= t_s[k] + half_s; next++) {
        way += way_m[next];
        ground += way_m[next] * overlap_m[next];
      }
      for (; t_s[first] < t_s[k] - half_s && first < k; first++) {
        way -= way_m[first];
        ground -= way_m[first] * overlap_m[first];
      }
      smooth_m[k] = way > 1e-9 ? ground / way : overlap_m[k];
    }
  }
  return smooth_m;
}

function halfWindow(se_m: number): number {
  const share = (se_m / WORST_SE_M) ** 2;
  return Math.min(LONGEST_HALF_WINDOW_S, Math.max(SHORTEST_HALF_WINDOW_S, LONGEST_HALF_WINDOW_S * share));
}

function robustSpread(column: Float64Array): number {
  const stride = Math.ceil(column.length / ENOUGH_ITEMS);
  const sample = column.filter((_, k) => k % stride === 0);
  const middle = median(sample);
  return MAD_TO_SD * median(sample.map((x) => Math.abs(x - middle)));
}

function drawnToMean(
  smooth_m: Float64Array,
  se_m: Float64Array,
  way_m: Float64Array,
  way: number,
): Float64Array {
  let mean = 0;
  for (let k = 0; k < smooth_m.length; k++) mean += (way_m[k] * smooth_m[k]) / way;
  let variance = 0;
  for (let k = 0; k < smooth_m.length; k++) variance += (way_m[k] * (smooth_m[k] - mean) ** 2) / way;
  return smooth_m.map((overlap, k) => {
    const kept = variance > 0 ? Math.max(0, 1 - se_m[k] ** 2 / variance) : 0;
    const distance = Math.abs(overlap - mean) / se_m[k];
    const sure = Math.min(1, Math.max(0, (distance - SURELY_ERROR) / (SURELY_TRUE - SURELY_ERROR)));
    return mean + (kept + (1 - kept) * sure) * (overlap - mean);
  });
}

/** max(0, x − shift) with the one shift that gives the total ground. */
function withTotal(drawn_m: Float64Array, way_m: Float64Array, total_m2: number): Float64Array {
  const estimate_m = new Float64Array(drawn_m.length);
  if (total_m2 === 0) return estimate_m;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let way = 0;
  for (let k = 0; k < drawn_m.length; k++) {
    if (way_m[k] === 0) continue;
    way += way_m[k];
    low = Math.min(low, drawn_m[k]);
    high = Math.max(high, drawn_m[k]);
  }
  // without any cut-off the shift would be at least this small
  low -= total_m2 / way;
  for (let round = 0; round < 50; round++) {
    const shift = (low + high) / 2;
    let ground = 0;
    for (let k = 0; k < drawn_m.length; k++) ground += way_m[k] * Math.max(0, drawn_m[k] - shift);
    if (ground > total_m2) low = shift;
    else high = shift;
  }
  for (let k = 0; k < drawn_m.length; k++) {
    if (way_m[k] > 0) estimate_m[k] = Math.max(0, drawn_m[k] - (low + high) / 2);
  }
  return estimate_m;
}
