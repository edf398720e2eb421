/**
 * From raw fixes to the antenna's track: position, speed and heading smoothed forward and backward in time.
 *
 * The motion's unrest is not assumed but found: straight running is given little of it and turns as much as they
 * show (expectation–maximisation with a heavy-tailed prior), so that headings on straights are quiet to a fraction
 * of a degree while turns keep their shape. A fix that the motion on *both* sides contradicts is an outlier.
 */
import { lengthOf } from '../columns.ts';
import { MAD_TO_SD, median } from '../stats/quantiles.ts';
import {
  emptyStates,
  type Measured,
  type MotionStates,
  smoothConstantVelocity,
} from './constant-velocity.ts';
import { rejectExcursions } from './excursions.ts';
import type { FixCounts } from './fix-counts.ts';
import { acceptPlausible, rejectContradicted } from './fix-outliers.ts';
import type { LocalFrame } from './local-frame.ts';
import { accuracyOf, estimateWhiteNoise } from './noise-level.ts';
import { noseHeadings } from './nose.ts';
import type { TimedFixes, Track } from './track.ts';
import { usableFixes } from './usable-fixes.ts';

export interface SmoothOptions {
  /** Longer silences are not bridged: the track starts anew after them. */
  readonly gap_s?: number;
}

export interface TrackSolution {
  readonly track: Track;
  readonly counts: FixCounts;
  /** White noise of the receiver by quality indicator, one axis, metres, as found in the log. */
  readonly white_noise_m: ReadonlyMap<number, number>;
}

/** Dropouts up to this long are bridged: at harvesting speed some 10 m, less than a turn. Ours. */
export const GAP_S = 5;

/** Unrest of straight running, m²/s³: the speed across the pass wanders by 1 cm/s in a second. Ours. */
const QUIET_DENSITY = 1e-4;
/** The quiet prior counts as this many intervals' worth of evidence. */
const QUIET_WEIGHT = 2;
/** Evidence of unrest is pooled over this time to either side. */
const POOL_S = 1.5;
const ROUNDS = 5;

/** Doppler speeds are no better than this, m/s a component (0.1 knot of rounding and 0.1–0.5° of course). */
const LEAST_VELOCITY_SE_M_S = 0.03;
const FIRST_VELOCITY_SE_M_S = 0.1;
/** Rows from which the noise of velocities is judged; every so many where a log has more. */
const ENOUGH_ROWS = 20_000;
/** Receivers' velocities come late by something like this; their noise is raised accordingly under acceleration. */
const VELOCITY_DELAY_S = 0.3;

/**
 * Smooths one machine's fixes in the plane of `frame` [RauchTungStriebel1965]. One row a usable fix; a track of no
 * rows when none is. Works with or without logged speed and course. Fixes contradicted by their neighbours are
 * replaced by the smoother's own position and marked.
 */
export function smoothTrack(
  fixes: TimedFixes,
  frame: LocalFrame,
  options: SmoothOptions = {},
): TrackSolution {
  const { gap_s = GAP_S } = options;
  if (!(gap_s > 0)) throw new RangeError(`gap_s must be positive, not ${gap_s}`);
  const { rows, counts } = usableFixes(fixes);
  const quality = rowsOf(fixes.quality, rows);
  const { measured, white_noise_m } = measuredFrom(fixes, rows, quality, frame);
  const states = emptyStates(rows.length);
  const runs = rejectExcursions(measured, acceptPlausible(measured, states, gap_s), gap_s);
  smoothRuns(measured, states, runs);
  const { speed_m_s, heading_rad, reversing } = noseHeadings(measured.t_s, states, gap_s);
  const replaced = measured.used.map((used) => (used ? 0 : 1));
  return {
    track: {
      t_s: measured.t_s,
      east_m: states.east_m,
      north_m: states.north_m,
      speed_m_s,
      heading_rad,
      position_se_m: states.p11.map((p11, k) => lengthOf(Math.sqrt(p11), accuracyOf(quality[k]).slow_m)),
      altitude_m: rowsOf(fixes.altitude_m, rows),
      quality,
      reversing,
      replaced,
    },
    counts: { ...counts, replaced: replaced.reduce((sum, one) => sum + one, 0) },
    white_noise_m,
  };
}

function rowsOf(column: Float64Array, rows: Int32Array): Float64Array {
  const taken = new Float64Array(rows.length);
  for (let k = 0; k < rows.length; k++) taken[k] = column[rows[k]];
  return taken;
}

function measuredFrom(
  fixes: TimedFixes,
  rows: Int32Array,
  quality: Float64Array,
  frame: LocalFrame,
): { measured: Measured; white_noise_m: ReadonlyMap<number, number> } {
  const t_s = rowsOf(fixes.t_s, rows);
  const { east_m, north_m } = frame.toPlane(
    rowsOf(fixes.longitude_deg, rows),
    rowsOf(fixes.latitude_deg, rows),
  );
  const east_m_s = new Float64Array(rows.length).fill(Number.NaN);
  const north_m_s = new Float64Array(rows.length).fill(Number.NaN);
  rows.forEach((row, k) => {
    const speed = fixes.speed_m_s[row];
    // a receiver that stands gives no course
    const course = speed < 0.1 && Number.isNaN(fixes.course_deg[row]) ? 0 : fixes.course_deg[row];
    east_m_s[k] = speed * Math.sin((course * Math.PI) / 180);
    north_m_s[k] = speed * Math.cos((course * Math.PI) / 180);
  });
  const white_noise_m = estimateWhiteNoise(t_s, east_m, north_m, quality);
  const hdop = rowsOf(fixes.hdop, rows);
  const usual_hdop = median(hdop);
  const position_variance_m2 = quality.map((label, k) => {
    const dilution = hdop[k] / usual_hdop;
    const scale = Number.isFinite(dilution) ? Math.min(3, Math.max(0.7, dilution)) : 1;
    return ((white_noise_m.get(label) ?? accuracyOf(label).white_m) * scale) ** 2;
  });
  const measured: Measured = {
    t_s,
    east_m,
    north_m,
    east_m_s,
    north_m_s,
    used: new Uint8Array(rows.length).fill(1),
    position_variance_m2,
    velocity_variance_m2_s2: new Float64Array(rows.length).fill(FIRST_VELOCITY_SE_M_S ** 2),
  };
  return { measured, white_noise_m };
}

/** Smooths every run, finding out by turns how restless each moment is, how good the velocities are, and outliers. */
function smoothRuns(measured: Measured, states: MotionStates, runs: readonly number[]): void {
  const density = new Float64Array(measured.t_s.length).fill(QUIET_DENSITY);
  for (let round = 0; round < ROUNDS; round++) {
    for (let r = 0; r + 1 < runs.length; r++)
      smoothConstantVelocity(measured, runs[r], runs[r + 1], density, states);
    if (round === ROUNDS - 1) break;
    for (let r = 0; r + 1 < runs.length; r++)
      updateDensity(measured.t_s, runs[r], runs[r + 1], states, density);
    updateVelocityVariance(measured, states);
    if (round === ROUNDS - 2) rejectContradicted(measured, states, runs);
  }
}

/** The density at which the quiet prior and the evidence of the neighbouring seconds balance. */
function updateDensity(
  t_s: Float64Array,
  from: number,
  to: number,
  states: MotionStates,
  density: Float64Array,
): void {
  let first = from;
  let next = from;
  let sum = 0;
  for (let k = from; k < to - 1; k++) {
    while (next < to - 1 && t_s[next] <= t_s[k] + POOL_S) sum += states.evident_density[next++];
    while (t_s[first] < t_s[k] - POOL_S) sum -= states.evident_density[first++];
    density[k] = (QUIET_WEIGHT * QUIET_DENSITY + Math.max(0, sum)) / (QUIET_WEIGHT + next - first);
  }
}

/** Noise of the logged velocities from their distance to the smoothed ones, raised where the speed changes. */
function updateVelocityVariance(measured: Measured, states: MotionStates): void {
  const { t_s, east_m_s, north_m_s, velocity_variance_m2_s2 } = measured;
  const distances: number[] = [];
  const stride = Math.ceil(t_s.length / ENOUGH_ROWS);
  for (let k = 0; k < t_s.length; k += stride) {
    if (Number.isNaN(east_m_s[k])) continue;
    distances.push(Math.abs(east_m_s[k] - states.east_m_s[k]), Math.abs(north_m_s[k] - states.north_m_s[k]));
  }
  if (distances.length === 0) return;
  const se_m_s = Math.max(LEAST_VELOCITY_SE_M_S, MAD_TO_SD * median(distances));
  for (let k = 1; k < t_s.length; k++) {
    const change_m_s = lengthOf(
      states.east_m_s[k] - states.east_m_s[k - 1],
      states.north_m_s[k] - states.north_m_s[k - 1],
    );
    const late_m_s = (VELOCITY_DELAY_S * change_m_s) / (t_s[k] - t_s[k - 1]);
    velocity_variance_m2_s2[k] = se_m_s ** 2 + late_m_s ** 2;
  }
}
