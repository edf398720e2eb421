/**
 * A machine's smoothed track in one field → rows of ground: bounds at fixes at least a point interval apart and at every
 * move of the header, the cutting line at both ends of each row, and the pass it belongs to.
 */
import { lengthOf, lowerBound, upperBound } from '../columns.ts';
import type { AntennaSheet } from '../season.ts';
import type { HeaderRecord } from '../signal/machine-record.ts';
import { cuttingLine } from './cutting-line.ts';
import { allocateGroundRows, type GroundRows, MOST_ROW_M } from './ground-rows.ts';
import { findPasses } from './passes.ts';
import { resampleTrack } from './resample.ts';
import { GAP_S } from './smooth.ts';
import type { Track } from './track.ts';

export interface TrackGround {
  /** Smoothed fixes of the machine in this field, all visits. */
  readonly track: Track;
  /** Visits to the field, from their first to their last row of the track, seconds, ascending. */
  readonly visits: readonly { readonly from_s: number; readonly to_s: number }[];
  readonly header: HeaderRecord;
  /** Whether grain came that may have been cut between two moments; for logs without a header switch that moves. */
  readonly grainComes: ((from_s: number, to_s: number) => boolean) | undefined;
  readonly antenna: AntennaSheet | undefined;
  readonly header_width_m: number;
  /** Fixes closer together than this are joined into one row, s. */
  readonly point_interval_s: number;
}

/** Fixes may come this much early and still be a point interval apart. */
const JITTER_SHARE = 0.9;
/** A header move this close to a fix does not make a row of its own, s. */
const MOVE_TOLERANCE_S = 0.05;

/** Rows of all visits, ascending. */
export function groundFromTrack(input: TrackGround): GroundRows {
  const moves = headerMoves(input.header);
  const parts = input.visits
    .map((visit) => boundsOf(input, moves, visit.from_s, visit.to_s))
    .filter((b) => b.length > 1);
  const rows = allocateGroundRows(parts.reduce((sum, bounds) => sum + bounds.length - 1, 0));
  let row = 0;
  let passes = 0;
  for (const bounds of parts) {
    const track = resampleTrack(input.track, bounds);
    const line = cuttingLine(track, input.antenna);
    const found = findPasses({
      ...track,
      header: input.header.t_s.length > 0 ? input.header : undefined,
      working: workingMask(input, bounds),
    });
    passes += fillRows(rows, row, passes, { input, bounds, track, line, found });
    row += bounds.length - 1;
  }
  return rows;
}

/** One visit as it was driven. */
interface Visit {
  readonly input: TrackGround;
  readonly bounds: Float64Array;
  readonly track: Track;
  readonly line: ReturnType<typeof cuttingLine>;
  readonly found: ReturnType<typeof findPasses>;
}

/** The rows of one visit, from row `first` on, its passes numbered from `passes`; returns how many passes there are. */
function fillRows(
  rows: GroundRows,
  first: number,
  passes: number,
  { input, bounds, track, line, found }: Visit,
): number {
  let highest = -1;
  for (let k = 0, row = first; k + 1 < bounds.length; k++, row++) {
    rows.t0_s[row] = bounds[k];
    rows.t1_s[row] = bounds[k + 1];
    rows.east0_m[row] = line.east_m[k];
    rows.north0_m[row] = line.north_m[k];
    rows.heading0_rad[row] = track.heading_rad[k];
    rows.east1_m[row] = line.east_m[k + 1];
    rows.north1_m[row] = line.north_m[k + 1];
    rows.heading1_rad[row] = track.heading_rad[k + 1];
    rows.distance_m[row] = lengthOf(
      rows.east1_m[row] - rows.east0_m[row],
      rows.north1_m[row] - rows.north0_m[row],
    );
    rows.speed_m_s[row] = rows.distance_m[row] / (bounds[k + 1] - bounds[k]);
    rows.header_width_m[row] = input.header_width_m;
    rows.position_se_m[row] = Math.max(track.position_se_m[k], track.position_se_m[k + 1]);
    const isBridged = track.replaced[k] === 1 || track.replaced[k + 1] === 1;
    rows.no_fix[row] = isBridged || silence(input.track, bounds[k], bounds[k + 1]) > GAP_S ? 1 : 0;
    const cuts = found.pass[k] >= 0 && track.reversing[k] === 0 && rows.distance_m[row] <= MOST_ROW_M;
    rows.pass[row] = cuts ? passes + found.pass[k] : -1;
    highest = Math.max(highest, found.pass[k]);
  }
  return highest + 1;
}

/** Times at which rows begin and end: fixes of the visit, thinned, and header moves between them. */
function boundsOf(input: TrackGround, moves: Float64Array, from_s: number, to_s: number): Float64Array {
  const { t_s } = input.track;
  const first = lowerBound(t_s, from_s);
  const last = upperBound(t_s, to_s) - 1;
  let move = first < t_s.length ? upperBound(moves, t_s[first]) : 0;
  const bounds: number[] = [];
  for (let i = first; i <= last; i++) {
    if (
      i > first &&
      i < last &&
      !isDue(bounds[bounds.length - 1], t_s[i], t_s[i + 1], input.point_interval_s)
    )
      continue;
    while (move < moves.length && moves[move] < t_s[i] - MOVE_TOLERANCE_S) {
      if (moves[move] > bounds[bounds.length - 1] + MOVE_TOLERANCE_S) bounds.push(moves[move]);
      move++;
    }
    bounds.push(t_s[i]);
  }
  return Float64Array.from(bounds);
}

/** Whether a fix ends the row that began at `from_s`: about an interval later, and nearer to it than the next fix. */
function isDue(from_s: number, fix_s: number, next_s: number, interval_s: number): boolean {
  const early_s = interval_s - (fix_s - from_s);
  return early_s <= (1 - JITTER_SHARE) * interval_s + 1e-9 && early_s <= next_s - from_s - interval_s;
}

function headerMoves(header: HeaderRecord): Float64Array {
  const moves: number[] = [];
  for (let i = 1; i < header.t_s.length; i++)
    if (header.up[i] !== header.up[i - 1]) moves.push(header.t_s[i]);
  return Float64Array.from(moves);
}

function workingMask(input: TrackGround, bounds: Float64Array): Uint8Array | undefined {
  const { grainComes } = input;
  if (grainComes === undefined) return undefined;
  return Uint8Array.from({ length: bounds.length - 1 }, (_, k) =>
    grainComes(bounds[k], bounds[k + 1]) ? 1 : 0,
  );
}

/** Longest time without a fix between two moments. */
function silence(track: Track, from_s: number, to_s: number): number {
  let longest_s = 0;
  const first = Math.max(1, upperBound(track.t_s, from_s));
  for (let i = first; i < track.t_s.length && track.t_s[i - 1] < to_s; i++) {
    longest_s = Math.max(longest_s, track.t_s[i] - track.t_s[i - 1]);
  }
  return longest_s;
}
