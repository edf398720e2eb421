/** The lowest point of a curve of disagreement over shifts a step apart, and how far resampled passes move it. */
import { columnOf } from '../columns.ts';
import { standardDeviation } from '../stats/moments.ts';
import { createDeterministicDraw } from './deterministic-draw.ts';
import { solveSymmetric } from './normal-equations.ts';

/** At one shift: squared difference of each pair, and the variance of all that take part. */
export interface PairSquares {
  readonly square: Float64Array;
  readonly variance: number;
}

const BOOTSTRAPS = 100;
/** Half width of the parabola through the valley, s. */
const VALLEY_S = 2.5;
/** Steps to either side of the valley within which resampled ones are sought. */
const NEAR_LOW = 8;

/** Lowest point of the least-squares parabola through the valley. */
export function valleyOf(shifts_s: Float64Array, disagreement: readonly number[], best: number): number {
  const reach = reachOf(shifts_s);
  const normal = new Float64Array(9);
  const right = new Float64Array(3);
  for (let k = Math.max(0, best - reach); k <= Math.min(shifts_s.length - 1, best + reach); k++) {
    const u = shifts_s[k] - shifts_s[best];
    const x = [1, u, u * u];
    for (let b = 0; b < 3; b++) {
      right[b] += x[b] * disagreement[k];
      for (let c = 0; c <= b; c++) normal[b * 3 + c] += x[b] * x[c];
    }
  }
  const [, slope, curvature] = solveSymmetric(normal, right, 3);
  if (!(curvature > 0)) return shifts_s[best];
  return shifts_s[best] + Math.max(-VALLEY_S, Math.min(VALLEY_S, -slope / (2 * curvature)));
}

function reachOf(shifts_s: Float64Array): number {
  return Math.round(VALLEY_S / (shifts_s[1] - shifts_s[0]));
}

/** Deviation of the valley over resampled passes. */
export function bootstrap(
  squares: readonly PairSquares[],
  pairs: Int32Array,
  pass: Int32Array,
  shifts_s: Float64Array,
  best: number,
): number {
  const byPass = new Map<number, number[]>();
  for (let k = 0; k < pairs.length / 2; k++) {
    const list = byPass.get(pass[pairs[2 * k]]);
    if (list === undefined) byPass.set(pass[pairs[2 * k]], [k]);
    else list.push(k);
  }
  const groups = [...byPass.values()];
  // no more of the curve than resampled valleys are sought in
  const aside = NEAR_LOW + reachOf(shifts_s);
  const from = Math.max(0, best - aside);
  const near_s = shifts_s.subarray(from, best + aside + 1);
  const sums = groups.map((group) =>
    columnOf(near_s.length, (k) => {
      const { square, variance } = squares[from + k];
      return group.reduce((sum, pair) => sum + square[pair], 0) / (2 * variance);
    }),
  );
  const draw = createDeterministicDraw();
  const found: number[] = [];
  const curve = new Array<number>(near_s.length);
  for (let b = 0; b < BOOTSTRAPS; b++) {
    curve.fill(0);
    let count = 0;
    for (let g = 0; g < groups.length; g++) {
      const chosen = draw(groups.length);
      count += groups[chosen].length;
      for (let k = 0; k < curve.length; k++) curve[k] += sums[chosen][k];
    }
    for (let k = 0; k < curve.length; k++) curve[k] /= count;
    found.push(valleyOf(near_s, curve, nearestLow(curve, best - from)));
  }
  return standardDeviation(found);
}

/** Lowest element of a resampled curve near the valley found with all passes. */
function nearestLow(curve: readonly number[], best: number): number {
  let low = best;
  for (let k = Math.max(0, best - NEAR_LOW); k <= Math.min(curve.length - 1, best + NEAR_LOW); k++) {
    if (curve[k] < curve[low]) low = k;
  }
  return low;
}

export function lowest(curve: readonly number[]): number {
  let best = 0;
  for (let k = 1; k < curve.length; k++) if (curve[k] < curve[best]) best = k;
  return best;
}
