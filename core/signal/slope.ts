/**
 * Pitch of the machine from the ground it drives on, for logs without a tilt sensor: the slope of the height along the way.
 * Only heights of fixes good to centimetres serve; a single or differential fix wanders by metres within a pass.
 */
import { lengthOf } from '../columns.ts';
import type { TimedFixes } from '../track/track.ts';
import type { PitchRecord } from './flow.ts';

/** The slope is fitted over this way to either side: about a machine's length and some. */
const REACH_M = 12;
const FIXED = 4;
const FLOAT = 5;
/** Fixes further apart in time do not belong to one stretch, s. */
const GAP_S = 5;
/** Steeper is no field but a fault, rad. */
const STEEPEST_RAD = (25 * Math.PI) / 180;
/** Metres per degree of latitude: good to 0.6 % everywhere, and a slope needs no better. */
const M_PER_DEG = 111_300;

/** Nose-up pitch at each usable fix; empty when fewer than half of the fixes have a height to rely on. */
export function pitchFromElevation(fixes: TimedFixes): PitchRecord {
  const rows: number[] = [];
  for (let i = 0; i < fixes.t_s.length; i++) {
    const good = fixes.quality[i] === FIXED || fixes.quality[i] === FLOAT;
    if (good && !Number.isNaN(fixes.altitude_m[i] + fixes.latitude_deg[i])) rows.push(i);
  }
  if (rows.length < 2 || rows.length < fixes.t_s.length / 2)
    return { t_s: new Float64Array(), pitch_rad: new Float64Array() };
  const way_m = wayAlong(fixes, rows);
  const t: number[] = [];
  const pitch: number[] = [];
  let first = 0;
  let last = 0;
  for (let k = 0; k < rows.length; k++) {
    while (way_m[k] - way_m[first] > REACH_M) first++;
    while (last + 1 < rows.length && way_m[last + 1] - way_m[k] <= REACH_M) last++;
    const slope = slopeOf(fixes.altitude_m, rows, way_m, first, last);
    const pitch_rad = Math.atan(slope);
    if (!(Math.abs(pitch_rad) <= STEEPEST_RAD)) continue;
    t.push(fixes.t_s[rows[k]]);
    pitch.push(pitch_rad);
  }
  return { t_s: Float64Array.from(t), pitch_rad: Float64Array.from(pitch) };
}

/** Way driven up to each row, m; a silence leaves a gap that no window reaches across. */
function wayAlong(fixes: TimedFixes, rows: readonly number[]): Float64Array {
  const way_m = new Float64Array(rows.length);
  for (let k = 1; k < rows.length; k++) {
    const [a, b] = [rows[k - 1], rows[k]];
    const north = (fixes.latitude_deg[b] - fixes.latitude_deg[a]) * M_PER_DEG;
    const parallel = Math.cos((fixes.latitude_deg[a] * Math.PI) / 180) * M_PER_DEG;
    const east = (fixes.longitude_deg[b] - fixes.longitude_deg[a]) * parallel;
    const silent = fixes.t_s[b] - fixes.t_s[a] > GAP_S;
    way_m[k] = way_m[k - 1] + (silent ? 3 * REACH_M : lengthOf(north, east));
  }
  return way_m;
}

/** Least-squares slope of height on way over rows first..last; NaN where the machine stood. */
function slopeOf(
  altitude_m: Float64Array,
  rows: readonly number[],
  way_m: Float64Array,
  first: number,
  last: number,
): number {
  const count = last - first + 1;
  let meanWay = 0;
  let meanHeight = 0;
  for (let k = first; k <= last; k++) {
    meanWay += way_m[k] / count;
    meanHeight += altitude_m[rows[k]] / count;
  }
  let square = 0;
  let product = 0;
  for (let k = first; k <= last; k++) {
    square += (way_m[k] - meanWay) ** 2;
    product += (way_m[k] - meanWay) * (altitude_m[rows[k]] - meanHeight);
  }
  return square > 1 ? product / square : Number.NaN;
}
