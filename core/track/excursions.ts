/**
 * Spells in which a receiver puts the machine some metres aside and then back again (signals that came by way of a shed or
 * a wood): each looks like a new place that is believed after a while. That it was none is told by the way back, which
 * undoes the way out.
 */
import { lengthOf } from '../columns.ts';
import type { Measured } from './constant-velocity.ts';

/** An excursion of longer than this cannot be told from a receiver that found its place, s. Ours. */
const LONGEST_S = 60;
/** Out and back may differ by this share of the way out, and by this in any case, m: both begin and end between two fixes. */
const UNDONE_SHARE = 0.3;
const UNDONE_M = 0.5;

/**
 * Marks the fixes of excursions as not used and returns the first rows of the runs that are left: what lies before an
 * excursion and after it is one run. `starts` are first rows of unbroken runs with the number of rows as the last element.
 */
export function rejectExcursions(measured: Measured, starts: readonly number[], gap_s: number): number[] {
  const left = [...starts];
  for (let r = 1; r + 2 < left.length; ) {
    if (!isExcursion(measured, left, r, gap_s)) {
      r++;
      continue;
    }
    measured.used.fill(0, left[r], left[r + 1]);
    left.splice(r, 2);
  }
  return left;
}

function isExcursion(measured: Measured, starts: readonly number[], r: number, gap_s: number): boolean {
  const { t_s } = measured;
  const length_s = (run: number) => t_s[starts[run + 1] - 1] - t_s[starts[run]];
  const out = starts[r];
  const back = starts[r + 1];
  if (t_s[back] - t_s[out] > LONGEST_S || length_s(r) > Math.min(length_s(r - 1), length_s(r + 1)))
    return false;
  if (t_s[out] - t_s[out - 1] > gap_s || t_s[back] - t_s[back - 1] > gap_s) return false;
  const [outEast, outNorth] = jumpAt(measured, starts[r - 1], out);
  const [backEast, backNorth] = jumpAt(measured, out, back);
  const left_m = lengthOf(outEast + backEast, outNorth + backNorth);
  return left_m <= Math.max(UNDONE_M, UNDONE_SHARE * lengthOf(outEast, outNorth));
}

/** By how much the step onto `row` from the last believed row of the run that begins at `first` is not driven. */
function jumpAt(measured: Measured, first: number, row: number): [number, number] {
  const { t_s, east_m, north_m, used } = measured;
  let before = row - 1;
  while (before > first && used[before] === 0) before--;
  const dt_s = t_s[row] - t_s[before];
  const [vEast, vNorth] = velocityAt(measured, before, row);
  return [east_m[row] - east_m[before] - dt_s * vEast, north_m[row] - north_m[before] - dt_s * vNorth];
}

/** Mean of the velocities on both sides: logged, else from the steps before and after. */
function velocityAt(measured: Measured, before: number, row: number): [number, number] {
  const { t_s, east_m, north_m, east_m_s, north_m_s } = measured;
  if (!Number.isNaN(east_m_s[before]) && !Number.isNaN(east_m_s[row])) {
    return [(east_m_s[before] + east_m_s[row]) / 2, (north_m_s[before] + north_m_s[row]) / 2];
  }
  const slope = (column: Float64Array) => {
    const from = Math.max(0, before - 1);
    const to = Math.min(t_s.length - 1, row + 1);
    const earlier = from < before ? (column[before] - column[from]) / (t_s[before] - t_s[from]) : Number.NaN;
    const later = to > row ? (column[to] - column[row]) / (t_s[to] - t_s[row]) : Number.NaN;
    const known = [earlier, later].filter((v) => !Number.isNaN(v));
    return known.length === 0 ? 0 : known.reduce((sum, v) => sum + v, 0) / known.length;
  };
  return [slope(east_m), slope(north_m)];
}
