/** Points of a field that lie beside each other in passes driven opposite ways. */
import { lengthOf, pickRows } from '../columns.ts';
import { PointGrid } from '../stats/point-grid.ts';
import type { CutRecord } from './cut-record.ts';

/** Which points of a field are compared. */
export interface Comparing {
  /** Points of one machine at most, evenly spread: mixing makes neighbours in a pass tell nearly the same. */
  readonly most_points: number;
  /** Seconds of a pass left out at its start and end, where filling and running out would speak. */
  readonly start_margin_s: number;
  readonly end_margin_s: number;
}

/** Headings are opposite within 30° of 180°: cosine of that angle. */
const COS_OPPOSITE = Math.cos((30 * Math.PI) / 180);
/** Neighbours are sought within so many header widths. */
const REACH_HEADERS = 1.35;
/** Only points with a nearly full header are compared. */
const FULL_SHARE = 0.8;
/** Leaves room for rounding. */
const SURELY_FURTHER = 1 + 1e-9;

/** Rows well inside a pass with a nearly full header. */
export function interiorPoints(record: CutRecord, pass: Int32Array, options: Comparing): Int32Array {
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
  return evenlySpread(
    kept.filter((i) => end_s[i] - record.t1_s[i] >= options.end_margin_s),
    options.most_points,
  );
}

/** Every row, or every second, third … so that no more than `most` are left. */
function evenlySpread(rows: readonly number[], most: number): Int32Array {
  const step = Math.ceil(rows.length / most);
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
export function oppositePairs(record: CutRecord, pass: Int32Array, candidates: Int32Array): Int32Array {
  const reach_m = REACH_HEADERS * record.header_width_m;
  const east_m = pickRows(record.east_m, candidates);
  const north_m = pickRows(record.north_m, candidates);
  const heading_rad = pickRows(record.heading_rad, candidates);
  const sin = heading_rad.map((heading) => Math.sin(heading));
  const cos = heading_rad.map((heading) => Math.cos(heading));
  const passes = pickRows(pass, candidates);
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
      const distance_m = lengthOf(east, north);
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
