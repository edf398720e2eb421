/**
 * Lag from neighbours: a wrong lag displaces the yields of passes driven in opposite directions in opposite ways, so that
 * points agree best with nearby points of opposite passes at the right one. For every candidate shift s the yield density
 * y_s = grain in [t0 + s, t1 + s] / fresh area is compared over one fixed set of pairs:
 *
 *   disagreement(s) = mean (y_s(i) − y_s(j))² / (2 · variance of y_s)
 *
 * Dividing by the variance keeps a shift from winning because it smooths. What is found is the shift as a whole: the
 * transport lag plus the mean of the mixing. Logs that were shifted before may answer with a negative number; it is
 * reported, not clamped. The standard error is a bootstrap over passes.
 */
import { pickRows } from '../columns.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';
import { mean, standardDeviation } from '../stats/moments.ts';
import { PointGrid } from '../stats/point-grid.ts';
import { median } from '../stats/quantiles.ts';
import { type CutRecord, cumulativeGrain, type UniformColumn } from './cut-record.ts';
import { createDeterministicDraw } from './deterministic-draw.ts';
import { solveSymmetric } from './normal-equations.ts';

export interface NeighbourAgreementSolution {
  readonly shift_s: number;
  readonly shift_se_s: number;
  readonly pairs: number;
  readonly curve: { readonly shift_s: Float64Array; readonly disagreement: Float64Array };
}

export interface NeighbourAgreementOptions {
  readonly shift_min_s: number;
  readonly shift_max_s: number;
  /** Seconds of a pass left out at its start and end, where filling and running out would speak. */
  readonly start_margin_s: number;
  readonly end_margin_s: number;
}

const SHIFT_RANGE: NeighbourAgreementOptions = {
  shift_min_s: -15,
  shift_max_s: 40,
  start_margin_s: 20,
  end_margin_s: 10,
};

const SHIFT_STEP_S = 0.5;
const GRID_STEP_S = 0.25;
const STEPS_A_SHIFT = SHIFT_STEP_S / GRID_STEP_S;
/** Headings are opposite within 30° of 180°: cosine of that angle. */
const COS_OPPOSITE = Math.cos((30 * Math.PI) / 180);
/** Neighbours are sought within so many header widths. */
const REACH_HEADERS = 1.35;
/** Only points with a nearly full header are compared. */
const FULL_SHARE = 0.8;
const MIN_PAIRS = 100;
/** Points of one machine in one field that are compared: mixing makes neighbours in a pass tell nearly the same. */
const MOST_POINTS = 4000;
/** Leaves room for rounding. */
const SURELY_FURTHER = 1 + 1e-9;
const BOOTSTRAPS = 100;
/** Half width of the parabola through the valley, s. */
const VALLEY_S = 2.5;

/** Undefined when there are too few pairs or the curve is flat. */
export function estimateNeighbourAgreement(
  record: CutRecord,
  pass: Int32Array,
  passage: GrainPassage,
  options: NeighbourAgreementOptions = SHIFT_RANGE,
): NeighbourAgreementSolution | undefined {
  const candidates = interiorPoints(record, pass, options);
  const pairs = oppositePairs(record, pass, candidates);
  if (pairs.length / 2 < MIN_PAIRS) return undefined;

  const count = Math.round((options.shift_max_s - options.shift_min_s) / SHIFT_STEP_S) + 1;
  const shifts_s = Float64Array.from({ length: count }, (_, k) => options.shift_min_s + k * SHIFT_STEP_S);
  const first_s = record.t0_s[0] + options.shift_min_s - 1;
  const last_s = record.t1_s[record.t1_s.length - 1] + options.shift_max_s + 1;
  const grain = cumulativeGrain(
    passage,
    first_s,
    GRID_STEP_S,
    Math.ceil((last_s - first_s) / GRID_STEP_S) + 2,
  );
  const squares = pairSquares(record, pairs, grain, shifts_s);
  const disagreement = squares.map((of) => mean(of.square) / (2 * of.variance));

  const best = lowest(disagreement);
  if (best === 0 || best === count - 1 || isFlat(disagreement)) return undefined;
  const shift_s = valleyOf(shifts_s, disagreement, best);
  return {
    shift_s,
    shift_se_s: bootstrap(squares, pairs, pass, shifts_s, best),
    pairs: pairs.length / 2,
    curve: { shift_s: shifts_s, disagreement: Float64Array.from(disagreement) },
  };
}

/** Rows well inside a pass with a nearly full header. */
function interiorPoints(record: CutRecord, pass: Int32Array, options: NeighbourAgreementOptions): Int32Array {
  const kept: number[] = [];
  let first = 0;
  for (let i = 0; i < pass.length; i++) {
    if (i > 0 && pass[i] !== pass[i - 1]) first = i;
    if (pass[i] < 0) continue;
    if (record.t0_s[i] - record.t0_s[first] < options.start_margin_s) continue;
    if (record.width_share[i] < FULL_SHARE || record.fresh_area_m2[i] <= 0) continue;
    kept.push(i);
  }
  const end_s = passEnds(record, pass);
  return evenlySpread(kept.filter((i) => end_s[i] - record.t1_s[i] >= options.end_margin_s));
}

/** Every row, or every second, third … so that no more than `MOST_POINTS` are left. */
function evenlySpread(rows: readonly number[]): Int32Array {
  const step = Math.ceil(rows.length / MOST_POINTS);
  return Int32Array.from({ length: Math.ceil(rows.length / step) || 0 }, (_, k) => rows[k * step]);
}

/** End of the pass that each row belongs to. */
function passEnds(record: CutRecord, pass: Int32Array): Float64Array {
  const end_s = new Float64Array(pass.length);
  for (let i = pass.length - 1; i >= 0; i--) {
    end_s[i] = i + 1 < pass.length && pass[i + 1] === pass[i] ? end_s[i + 1] : record.t1_s[i];
  }
  return end_s;
}

/** Each candidate with its nearest candidate of opposite heading in another pass: flat list i, j, i, j …, each pair once. */
function oppositePairs(record: CutRecord, pass: Int32Array, candidates: Int32Array): Int32Array {
  const reach_m = REACH_HEADERS * record.header_width_m;
  const east_m = pickRows(record.east_m, candidates);
  const north_m = pickRows(record.north_m, candidates);
  const heading_rad = pickRows(record.heading_rad, candidates);
  const sin = heading_rad.map((heading) => Math.sin(heading));
  const cos = heading_rad.map((heading) => Math.cos(heading));
  const passes = Int32Array.from(candidates, (row) => pass[row]);
  const grid = new PointGrid(east_m, north_m, reach_m);
  const nearest = new Int32Array(candidates.length).fill(-1);
  for (let i = 0; i < candidates.length; i++) {
    let nearest_m = reach_m;
    grid.near(east_m[i], north_m[i], (j) => {
      if (passes[j] === passes[i] || !(cos[i] * cos[j] + sin[i] * sin[j] < -COS_OPPOSITE)) return;
      const east = east_m[i] - east_m[j];
      const north = north_m[i] - north_m[j];
      // surely further: the exact distance is slow to find
      if (east * east + north * north > SURELY_FURTHER * nearest_m * nearest_m) return;
      const distance_m = Math.hypot(east, north);
      if (distance_m < nearest_m) {
        nearest_m = distance_m;
        nearest[i] = j;
      }
    });
  }
  const pairs: number[] = [];
  for (let i = 0; i < candidates.length; i++) {
    const j = nearest[i];
    // two that are each other's nearest are one pair, told by the first
    if (j >= 0 && !(j < i && nearest[j] === i)) pairs.push(candidates[i], candidates[j]);
  }
  return Int32Array.from(pairs);
}

/** For every shift: squared difference of each pair and the variance of the yields that take part. */
function pairSquares(record: CutRecord, pairs: Int32Array, grain: UniformColumn, shifts_s: Float64Array) {
  const { samples } = grain;
  const area_m2 = Float64Array.from(pairs, (row) => record.fresh_area_m2[row]);
  const from = placesOnGrid(pairs, record.t0_s, shifts_s[0], grain);
  const to = placesOnGrid(pairs, record.t1_s, shifts_s[0], grain);
  const yields = new Float64Array(pairs.length);
  return Array.from(shifts_s, (_, s) => {
    const shift = s * STEPS_A_SHIFT;
    let sum = 0;
    for (let k = 0; k < pairs.length; k++) {
      const a = from.step[k] + shift;
      const b = to.step[k] + shift;
      const before = samples[a] + (samples[a + 1] - samples[a]) * from.part[k];
      const after = samples[b] + (samples[b + 1] - samples[b]) * to.part[k];
      yields[k] = (after - before) / area_m2[k];
      sum += yields[k];
    }
    const centre = sum / pairs.length;
    let variance = 0;
    const square = new Float64Array(pairs.length / 2);
    for (let k = 0; k < square.length; k++) {
      const a = yields[2 * k] - centre;
      const b = yields[2 * k + 1] - centre;
      variance += a * a + b * b;
      square[k] = (a - b) * (a - b);
    }
    return { square, variance: variance / pairs.length };
  });
}

/** Whole step and part of a step of the grid at which each pair's moment lies, moved by the first shift. */
function placesOnGrid(pairs: Int32Array, t_s: Float64Array, shift_s: number, grain: UniformColumn) {
  const step = new Int32Array(pairs.length);
  const part = new Float64Array(pairs.length);
  for (let k = 0; k < pairs.length; k++) {
    const at = (t_s[pairs[k]] + shift_s - grain.t0_s) / grain.step_s;
    step[k] = Math.floor(at);
    part[k] = at - step[k];
  }
  return { step, part };
}

/** Lowest point of the least-squares parabola through the valley. */
function valleyOf(shifts_s: Float64Array, disagreement: readonly number[], best: number): number {
  const reach = Math.round(VALLEY_S / SHIFT_STEP_S);
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

/** Deviation of the valley over resampled passes. */
function bootstrap(
  squares: readonly { square: Float64Array; variance: number }[],
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
  const sums = groups.map((group) =>
    Float64Array.from(squares, (of) => group.reduce((sum, k) => sum + of.square[k], 0) / (2 * of.variance)),
  );
  const draw = createDeterministicDraw();
  const found: number[] = [];
  for (let b = 0; b < BOOTSTRAPS; b++) {
    const curve = new Array<number>(shifts_s.length).fill(0);
    let count = 0;
    for (let g = 0; g < groups.length; g++) {
      const chosen = draw(groups.length);
      count += groups[chosen].length;
      for (let k = 0; k < curve.length; k++) curve[k] += sums[chosen][k];
    }
    for (let k = 0; k < curve.length; k++) curve[k] /= count;
    found.push(valleyOf(shifts_s, curve, nearestLow(curve, best)));
  }
  return standardDeviation(found);
}

/** Lowest element of a resampled curve near the valley found with all passes. */
function nearestLow(curve: readonly number[], best: number): number {
  let low = best;
  for (let k = Math.max(0, best - 8); k <= Math.min(curve.length - 1, best + 8); k++) {
    if (curve[k] < curve[low]) low = k;
  }
  return low;
}

function lowest(curve: readonly number[]): number {
  let best = 0;
  for (let k = 1; k < curve.length; k++) if (curve[k] < curve[best]) best = k;
  return best;
}

/** A valley less deep than a tenth of the curve's middle says nothing. */
function isFlat(curve: readonly number[]): boolean {
  return Math.min(...curve) > 0.9 * median(curve);
}
