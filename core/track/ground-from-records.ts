/**
 * Flow-log records → rows of ground. A record says where it ended, how far the machine went in it and how wide it cut; the
 * row is the ribbon of that length that ends at the position, along the heading. No smoothing: another program wrote them.
 */
import { lengthOf } from '../columns.ts';
import type { AntennaSheet } from '../season.ts';
import type { FlowRecords } from '../signal/machine-record.ts';
import { allocateGroundRows, type GroundRows, MOST_ROW_M } from './ground-rows.ts';
import { shortTurn } from './short-turn.ts';

export interface RecordGround {
  readonly records: FlowRecords;
  /** Rows of the records that lie in this field, ascending. */
  readonly rows: Int32Array;
  /** Their positions in the field's frame. */
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly antenna: AntennaSheet | undefined;
  readonly header_width_m: number;
}

/** Records further apart than this many intervals belong to different passes. */
const PAUSE_INTERVALS = 1.4;
/** A turn by more than this between two records ends a pass, rad. */
const TURN_RAD = Math.PI / 4;
/** Steps shorter than this give no direction, m. */
const STEP_MIN_M = 0.5;
/** Standard error of a logged position, m: a differential receiver (common practice, no source). */
const POSITION_SE_M = 0.3;
/** Quality indicator of a position that is none [NMEA 0183 GGA]. */
const NO_FIX = 0;

/** One row a record. Rows without position, fix, heading or interval are marked `no_fix` and cut nothing. */
export function groundFromRecords(input: RecordGround): GroundRows {
  const { records, rows: chosen } = input;
  const out = allocateGroundRows(chosen.length);
  const heading_rad = headings(input);
  let pass = 0;
  for (let k = 0; k < chosen.length; k++) {
    const i = chosen[k];
    const { columns } = records;
    const interval_s = records.interval_s[i];
    out.t0_s[k] = records.t_s[i] - interval_s;
    out.t1_s[k] = records.t_s[i];
    const distance_m = distanceOf(input, k);
    const sin = Math.sin(heading_rad[k]);
    const cos = Math.cos(heading_rad[k]);
    const ahead_m = input.antenna?.ahead_of_cut_m ?? 0;
    const right_m = input.antenna?.right_of_centre_m ?? 0;
    out.east1_m[k] = input.east_m[k] - ahead_m * sin - right_m * cos;
    out.north1_m[k] = input.north_m[k] - ahead_m * cos + right_m * sin;
    out.east0_m[k] = out.east1_m[k] - distance_m * sin;
    out.north0_m[k] = out.north1_m[k] - distance_m * cos;
    out.heading0_rad[k] = heading_rad[k];
    out.heading1_rad[k] = heading_rad[k];
    out.distance_m[k] = distance_m;
    out.speed_m_s[k] = interval_s > 0 ? distance_m / interval_s : Number.NaN;
    const swath_m = columns.swath_m[i];
    out.header_width_m[k] = Number.isNaN(swath_m) ? input.header_width_m : swath_m;
    out.position_se_m[k] = POSITION_SE_M;
    const placed = !Number.isNaN(out.east0_m[k]) && distance_m <= MOST_ROW_M;
    const known = placed && interval_s > 0 && columns.quality[i] !== NO_FIX;
    out.no_fix[k] = known ? 0 : 1;
    if (k > 0 && breaks(input, heading_rad, k)) pass++;
    const cuts = known && columns.up[i] !== 1 && out.header_width_m[k] > 0 && distance_m > 0;
    out.pass[k] = cuts ? pass : -1;
  }
  return out;
}

/** Pause or turn between row k − 1 and k, or the header going down. */
function breaks(input: RecordGround, heading_rad: Float64Array, k: number): boolean {
  const { up } = input.records.columns;
  const lowered = up[input.rows[k - 1]] === 1 && up[input.rows[k]] !== 1;
  return lowered || pauses(input, k) || Math.abs(shortTurn(heading_rad[k - 1], heading_rad[k])) > TURN_RAD;
}

function pauses({ records, rows }: RecordGround, k: number): boolean {
  const step_s = records.t_s[rows[k]] - records.t_s[rows[k - 1]];
  return step_s > PAUSE_INTERVALS * records.interval_s[rows[k]];
}

/**
 * Logged heading, else the direction between the neighbours of the same stretch; a record without neighbours takes that of the
 * record before (the first one: after). NaN only when no record of the field has a direction.
 */
function headings(input: RecordGround): Float64Array {
  const { records, rows, east_m, north_m } = input;
  const heading_rad = new Float64Array(rows.length).fill(Number.NaN);
  for (let k = 0; k < rows.length; k++) {
    const logged_deg = records.columns.heading_deg[rows[k]];
    if (!Number.isNaN(logged_deg)) {
      heading_rad[k] = (logged_deg * Math.PI) / 180;
      continue;
    }
    const before = k > 0 && !pauses(input, k) ? k - 1 : k;
    const after = k + 1 < rows.length && !pauses(input, k + 1) ? k + 1 : k;
    const dx = east_m[after] - east_m[before];
    const dy = north_m[after] - north_m[before];
    if (lengthOf(dx, dy) > STEP_MIN_M) heading_rad[k] = Math.atan2(dx, dy);
  }
  let known_rad = heading_rad.find((heading) => !Number.isNaN(heading)) ?? Number.NaN;
  for (let k = 0; k < rows.length; k++) {
    if (Number.isNaN(heading_rad[k])) heading_rad[k] = known_rad;
    else known_rad = heading_rad[k];
  }
  return heading_rad;
}

/** Logged distance, else speed × interval, else the step from the neighbouring position of the same stretch. */
function distanceOf(input: RecordGround, k: number): number {
  const { records, rows, east_m, north_m } = input;
  const logged_m = records.columns.distance_m[rows[k]];
  if (!Number.isNaN(logged_m)) return logged_m;
  const driven_m = records.columns.speed_m_s[rows[k]] * records.interval_s[rows[k]];
  if (!Number.isNaN(driven_m)) return driven_m;
  const stepTo = (a: number, b: number) => lengthOf(east_m[b] - east_m[a], north_m[b] - north_m[a]);
  if (k > 0 && !pauses(input, k)) return stepTo(k - 1, k);
  return k + 1 < rows.length && !pauses(input, k + 1) ? stepTo(k, k + 1) : Number.NaN;
}
