/** What the lag stage knows of one machine in one field: the ground it cut and the grain that came, both by time. */
import { lowerBound } from '../columns.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';

/** One row an interval, ascending, not overlapping; gaps between rows are allowed. */
export interface CutRecord {
  readonly t0_s: Float64Array;
  readonly t1_s: Float64Array;
  readonly fresh_area_m2: Float64Array;
  /** Middle of the swath. */
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly heading_rad: Float64Array;
  /** Fresh share of the header, 0..1. */
  readonly width_share: Float64Array;
  readonly header_width_m: number;
}

/** A column sampled at `t0_s + i·step_s`. */
export interface UniformColumn {
  readonly t0_s: number;
  readonly step_s: number;
  readonly samples: Float64Array;
}

/** Amount of grain in each step of a uniform grid that starts at `t0_s`: differences of the passage, nothing lost. */
export function amountPerStep(
  passage: GrainPassage,
  t0_s: number,
  step_s: number,
  count: number,
): UniformColumn {
  return {
    t0_s,
    step_s,
    samples: cumulativeOnGrid(passage.t_s, passage.cumulative, t0_s, step_s, count, 'steps'),
  };
}

/** The passage's running total at each grid point. */
export function cumulativeGrain(
  passage: GrainPassage,
  t0_s: number,
  step_s: number,
  count: number,
): UniformColumn {
  return {
    t0_s,
    step_s,
    samples: cumulativeOnGrid(passage.t_s, passage.cumulative, t0_s, step_s, count, 'total'),
  };
}

/** Fresh ground per step of a uniform grid; each interval's area is spread evenly over it. */
export function areaPerStep(
  record: Pick<CutRecord, 't0_s' | 't1_s' | 'fresh_area_m2'>,
  t0_s: number,
  step_s: number,
  count: number,
): UniformColumn {
  const knots = new Float64Array(2 * record.t0_s.length);
  const total = new Float64Array(knots.length);
  let sum_m2 = 0;
  let k = 0;
  for (let i = 0; i < record.t0_s.length; i++) {
    if (k === 0 || record.t0_s[i] > knots[k - 1]) {
      knots[k] = record.t0_s[i];
      total[k++] = sum_m2;
    }
    sum_m2 += record.fresh_area_m2[i];
    knots[k] = record.t1_s[i];
    total[k++] = sum_m2;
  }
  return {
    t0_s,
    step_s,
    samples: cumulativeOnGrid(knots.subarray(0, k), total.subarray(0, k), t0_s, step_s, count, 'steps'),
  };
}

/** Linear interpolation of ascending knots on a uniform grid in one sweep: the total at each point, or its rise in each step. */
export function cumulativeOnGrid(
  knots_s: Float64Array,
  total: Float64Array,
  t0_s: number,
  step_s: number,
  count: number,
  want: 'steps' | 'total',
): Float64Array {
  const samples = new Float64Array(count);
  const n = knots_s.length;
  if (n === 0) return samples;
  let right = lowerBound(knots_s, t0_s);
  let before = Number.NaN;
  const last = want === 'steps' ? count : count - 1;
  for (let i = 0; i <= last; i++) {
    const t_s = t0_s + i * step_s;
    while (right < n && knots_s[right] < t_s) right++;
    let at: number;
    if (right === 0) at = total[0];
    else if (right === n) at = total[n - 1];
    else {
      const span_s = knots_s[right] - knots_s[right - 1];
      at = total[right - 1] + ((total[right] - total[right - 1]) * (t_s - knots_s[right - 1])) / span_s;
    }
    if (want === 'total') samples[i] = at;
    else if (i > 0) samples[i - 1] = at - before;
    before = at;
  }
  return samples;
}

/** Whole step and part of a step of a grid at which the moment of each of `rows` lies, moved by the shift. */
export function placesOnGrid(
  rows: Int32Array,
  t_s: Float64Array,
  shift_s: number,
  grid: Pick<UniformColumn, 't0_s' | 'step_s'>,
): { readonly step: Int32Array; readonly part: Float64Array } {
  const step = new Int32Array(rows.length);
  const part = new Float64Array(rows.length);
  for (let k = 0; k < rows.length; k++) {
    const at = (t_s[rows[k]] + shift_s - grid.t0_s) / grid.step_s;
    step[k] = Math.floor(at);
    part[k] = at - step[k];
  }
  return { step, part };
}
