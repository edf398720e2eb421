/** Swaths from logs that carry a distance and a swath width with each record, and the outlines of swaths for maps. */
import { shortTurn } from './short-turn.ts';
import type { Swaths } from './track.ts';

/** Records of one machine in cutting order; each ends at its time and place. NaN = absent. */
export interface DistanceRecords {
  readonly t_s: Float64Array;
  readonly interval_s: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly distance_m: Float64Array;
  /** 0 or NaN: header up. */
  readonly swath_m: Float64Array;
  /** Logged heading; found from the positions where NaN. */
  readonly heading_rad: Float64Array;
  readonly position_se_m: number;
}

/** A time step longer than this many intervals, or one back in time, parts two passes. Ours. */
const PAUSE_INTERVALS = 1.5;
/** A turn by more than this between two records parts two passes. Ours. */
const CORNER_RAD = Math.PI / 4;
/** Positions closer together than this give no direction, metres. Ours. */
const LEAST_STEP_M = 0.5;

/**
 * One swath a record: a rectangle `distance_m` long and `swath_m` wide that ends at the record's place, along its
 * heading (the direction between the records before and after in the same pass, where none is logged). Records
 * without swath, distance or heading get pass −1. Positions are taken as the middle of the cutting line.
 */
export function swathsFromRecords(records: DistanceRecords, machine: number): Swaths {
  const { t_s, interval_s, east_m, north_m, distance_m, swath_m } = records;
  const n = t_s.length;
  const heading_rad = headingsOf(records);
  const pass = new Int32Array(n);
  for (let i = 0, number = 0; i < n; i++) {
    if (
      i > 0 &&
      (pauses(records, i) || !(Math.abs(shortTurn(heading_rad[i - 1], heading_rad[i])) <= CORNER_RAD))
    ) {
      number++;
    }
    pass[i] =
      swath_m[i] > 0 && distance_m[i] > 0 && Number.isFinite(heading_rad[i] + east_m[i]) ? number : -1;
  }
  return {
    t0_s: t_s.map((t, i) => t - interval_s[i]),
    t1_s: t_s,
    machine: new Int32Array(n).fill(machine),
    pass,
    east0_m: east_m.map((east, i) => east - distance_m[i] * Math.sin(heading_rad[i])),
    north0_m: north_m.map((north, i) => north - distance_m[i] * Math.cos(heading_rad[i])),
    heading0_rad: heading_rad,
    east1_m: east_m,
    north1_m: north_m,
    heading1_rad: heading_rad,
    header_width_m: swath_m.map((width) => Math.max(0, width || 0)),
    position_se_m: new Float64Array(n).fill(records.position_se_m),
  };
}

function pauses({ t_s, interval_s }: DistanceRecords, i: number): boolean {
  const step_s = t_s[i] - t_s[i - 1];
  return !(step_s > 0 && step_s <= PAUSE_INTERVALS * interval_s[i]);
}

function headingsOf(records: DistanceRecords): Float64Array {
  const { east_m, north_m } = records;
  const last = east_m.length - 1;
  return records.heading_rad.map((logged_rad, i) => {
    if (!Number.isNaN(logged_rad)) return logged_rad;
    const before = i > 0 && !pauses(records, i) ? i - 1 : i;
    const after = i < last && !pauses(records, i + 1) ? i + 1 : i;
    const east = east_m[after] - east_m[before];
    const north = north_m[after] - north_m[before];
    return Math.hypot(east, north) > LEAST_STEP_M ? Math.atan2(east, north) : Number.NaN;
  });
}

/**
 * Corners of every swath, 8 numbers a row: east and north of the left and right end of its first line, then of the
 * right and left end of its last line, metres in the field's frame; NaN where a row has no place.
 */
export function swathCorners(swaths: Swaths): Float64Array {
  const corners = new Float64Array(8 * swaths.t0_s.length);
  for (let i = 0; i < swaths.t0_s.length; i++) {
    const half = swaths.header_width_m[i] / 2;
    const east0 = half * Math.cos(swaths.heading0_rad[i]);
    const north0 = -half * Math.sin(swaths.heading0_rad[i]);
    const east1 = half * Math.cos(swaths.heading1_rad[i]);
    const north1 = -half * Math.sin(swaths.heading1_rad[i]);
    corners[8 * i] = swaths.east0_m[i] - east0;
    corners[8 * i + 1] = swaths.north0_m[i] - north0;
    corners[8 * i + 2] = swaths.east0_m[i] + east0;
    corners[8 * i + 3] = swaths.north0_m[i] + north0;
    corners[8 * i + 4] = swaths.east1_m[i] + east1;
    corners[8 * i + 5] = swaths.north1_m[i] + north1;
    corners[8 * i + 6] = swaths.east1_m[i] - east1;
    corners[8 * i + 7] = swaths.north1_m[i] - north1;
  }
  return corners;
}
