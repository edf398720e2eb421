/**
 * Moisture of the grain that an interval cut, % wet basis: the sensor's readings, smoothed, read at the time at which that
 * grain passed it. Readings outside what a grain sensor can mean are left out; where there is none near, the answer is NaN
 * and the caller falls back on tickets or the field sheet.
 */
import { columnOf, Interpolation, lowerBound } from '../columns.ts';
import { median } from '../stats/quantiles.ts';
import type { MoistureRecord } from './machine-record.ts';

/** Readings outside are faults of the sensor (empty chamber, short circuit), % wet basis; common practice, no source. */
const MOISTURE_MIN_PCT = 3;
const MOISTURE_MAX_PCT = 45;
/** Half width of the smoothing window, s: a capacitive sensor scatters by a few tenths of a point. */
const HALF_WINDOW_S = 10;
/** Readings further than this from the median of their window do not count in its mean, points: a fault's edges stay sharp. Ours. */
const UNLIKE_PCT = 2;
/** A reading further away than this says nothing about the grain. */
const REACH_S = 60;

/** Smoothed record: mean of the believable readings within ± `HALF_WINDOW_S`, without those far from their median. */
export function smoothMoisture(record: MoistureRecord): MoistureRecord {
  const rows: number[] = [];
  for (let i = 0; i < record.t_s.length; i++) {
    const believable =
      record.moisture_pct[i] >= MOISTURE_MIN_PCT && record.moisture_pct[i] <= MOISTURE_MAX_PCT;
    if (believable && (rows.length === 0 || record.t_s[i] > record.t_s[rows[rows.length - 1]])) rows.push(i);
  }
  const t_s = columnOf(rows.length, (k) => record.t_s[rows[k]]);
  const moisture_pct = new Float64Array(rows.length);
  let first = 0;
  let last = 0;
  let sum = 0;
  for (let k = 0; k < rows.length; k++) {
    while (last < rows.length && t_s[last] <= t_s[k] + HALF_WINDOW_S)
      sum += record.moisture_pct[rows[last++]];
    while (t_s[first] < t_s[k] - HALF_WINDOW_S) sum -= record.moisture_pct[rows[first++]];
    moisture_pct[k] = meanOfAlike(record.moisture_pct, rows, first, last, sum / (last - first));
  }
  return { t_s, moisture_pct };
}

/** Mean of the readings `rows[first]` … that are near their median; `mean_pct` is that of all. */
function meanOfAlike(
  readings_pct: Float64Array,
  rows: readonly number[],
  first: number,
  last: number,
  mean_pct: number,
): number {
  const isFar = (centre_pct: number, k: number) => Math.abs(readings_pct[rows[k]] - centre_pct) > UNLIKE_PCT;
  let far = 0;
  for (let k = first; k < last; k++) if (isFar(mean_pct, k)) far++;
  if (far === 0) return mean_pct;
  const window = columnOf(last - first, (k) => readings_pct[rows[first + k]]);
  const centre_pct = median(window);
  let sum = 0;
  let count = 0;
  for (let k = first; k < last; k++) {
    if (isFar(centre_pct, k)) continue;
    sum += readings_pct[rows[k]];
    count++;
  }
  return count > 0 ? sum / count : centre_pct;
}

/** Moisture at each of ascending moments; NaN where no reading lies within `REACH_S`. */
export function moisturesAt({ t_s, moisture_pct }: MoistureRecord, at_s: Float64Array): Float64Array {
  const n = t_s.length;
  const read_pct = new Float64Array(at_s.length).fill(Number.NaN);
  if (n === 0 || at_s.length === 0) return read_pct;
  const between = new Interpolation(t_s, moisture_pct);
  let right = lowerBound(t_s, at_s[0]);
  for (let i = 0; i < at_s.length; i++) {
    while (right < n && t_s[right] < at_s[i]) right++;
    while (right > 0 && t_s[right - 1] >= at_s[i]) right--;
    const after_s = right < n ? t_s[right] - at_s[i] : Number.POSITIVE_INFINITY;
    const before_s = right > 0 ? at_s[i] - t_s[right - 1] : Number.POSITIVE_INFINITY;
    if (Math.min(after_s, before_s) <= REACH_S) read_pct[i] = between.at(at_s[i]);
  }
  return read_pct;
}
