/** Steps over the ground from row to row, and whether another column goes with them. */

import { median, scaledMad } from '../stats/quantiles.ts';
import { localFrame } from '../track/local-frame.ts';

/** Shorter steps are lost in the noise of positions. */
const SHORTEST_M = 0.4;
/** Rows of which sums are compared: noise of single positions cancels, turns are few. */
const BLOCK_ROWS = 12;
/** Sums of steps and of a distance that belong together scatter by less than this (share; robust deviation). Ours. */
const STEADY_SCATTER = 0.08;
const FEWEST_BLOCKS = 4;

/** Metres from the row before to each of the first `rows` rows; NaN for the first and where a position is unknown. */
export function groundSteps(
  longitude_deg: Float64Array,
  latitude_deg: Float64Array,
  rows: number,
): Float64Array {
  const steps_m = new Float64Array(rows).fill(Number.NaN);
  const middle = [median(longitude_deg.subarray(0, rows)), median(latitude_deg.subarray(0, rows))];
  if (!(Math.abs(middle[0]) <= 360 && Math.abs(middle[1]) <= 89)) return steps_m;
  const frame = localFrame(middle[0], middle[1]);
  const { east_m, north_m } = frame.toPlane(longitude_deg.subarray(0, rows), latitude_deg.subarray(0, rows));
  for (let i = 1; i < rows; i++)
    steps_m[i] = Math.hypot(east_m[i] - east_m[i - 1], north_m[i] - north_m[i - 1]);
  return steps_m;
}

/** How many of `measured` a metre of steps is, with how far that ratio scatters; undefined when too little moves. */
export interface StepRatio {
  /** Metres of step per unit of the column. */
  readonly factor: number;
  /** Robust relative deviation over blocks of rows. */
  readonly scatter: number;
}

/**
 * Ratio of the way driven to the sums of a column over blocks of rows. A row may stand for the way to it or from it; the
 * better of the two counts.
 */
export function stepRatio(steps_m: Float64Array, measured: Float64Array): StepRatio | undefined {
  const to = ratioAt(steps_m, measured, 0);
  const from = ratioAt(steps_m, measured, 1);
  if (to === undefined || from === undefined) return to ?? from;
  return to.scatter <= from.scatter ? to : from;
}

/** Whether a column is a distance or speed that goes with the steps, and not just a constant. */
export function isSteadyRatio(steps_m: Float64Array, measured: Float64Array): boolean {
  const ratio = stepRatio(steps_m, measured);
  if (ratio === undefined || ratio.scatter > STEADY_SCATTER) return false;
  // a constant goes with steps of constant length: it proves nothing
  const rows = Float64Array.from(steps_m, (_, i) => measured[i]);
  return scaledMad(rows) > 0.01 * Math.abs(median(rows));
}

function ratioAt(steps_m: Float64Array, measured: Float64Array, shift: 0 | 1): StepRatio | undefined {
  const factors: number[] = [];
  let way_m = 0;
  let sum = 0;
  let rows = 0;
  for (let i = 1; i < steps_m.length; i++) {
    const row = i - shift;
    if (!(steps_m[i] >= SHORTEST_M && steps_m[i] < 60) || !(measured[row] > 0)) {
      way_m = 0;
      sum = 0;
      rows = 0;
      continue;
    }
    way_m += steps_m[i];
    sum += measured[row];
    if (++rows < BLOCK_ROWS) continue;
    factors.push(way_m / sum);
    way_m = 0;
    sum = 0;
    rows = 0;
  }
  if (factors.length < FEWEST_BLOCKS) return undefined;
  const factor = median(factors);
  return { factor, scatter: scaledMad(factors, factor) / factor };
}
