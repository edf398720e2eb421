/**
 * The ground under each header as the positions have it: how much of it was fresh, and how its ends lie to the
 * neighbouring swaths. Nothing here thinks of noise but the tolerance within which an end may be in error.
 */
import { CrossSection, type EndState, FREE } from './cross-section.ts';
import { FieldEdge, type PlaneRings } from './field-edge.ts';
import { RibbonIndex } from './ribbon-index.ts';
import { poseWithin, type Ribbons } from './ribbons.ts';
import type { RowSteps } from './row-steps.ts';
import type { Swaths } from './track.ts';

/** Lines across the header are at most this far apart. Ours: at a right angle to a cut edge 0.15 m of error a row. */
const SECTION_M = 0.6;
/** And this in rows that do not go on from the row before, which may begin on ground that it cut. */
const FINE_SECTION_M = 0.1;
/** Overlaps and slivers up to 3 standard errors of two positions, and this for the driver, may be errors. */
const STEERING_M = 0.3;
const SIGMAS = 3;
const WIDEST_TOLERANCE_M = 2.5;
/** Standard error where none is given: a differential fix. */
const UNKNOWN_SE_M = 0.2;

/** Per row, and per row and side (left 2i, right 2i + 1). */
export interface FreshGround {
  readonly width_m: Float64Array;
  readonly area_m2: Float64Array;
  /** Mean signed overlap of the lines whose end lies within tolerance of a neighbour … */
  readonly overlap_m: Float64Array;
  /** … the share of the row's lines that do … */
  readonly share: Float64Array;
  /** … and what they took from `width_m`: the mean over all lines of their positive overlaps. */
  readonly taken_m: Float64Array;
  readonly neighbour: Int32Array;
}

export interface FreshGroundOptions {
  readonly boundary?: PlaneRings;
  /** Whether slivers between neighbours are noted as negative overlaps. */
  readonly slivers?: 'filled' | 'left';
}

/** Cuts every row's lines with all that was cut before. */
export function measureFreshGround(
  swaths: Swaths,
  steps: RowSteps,
  ribbons: Ribbons,
  options: FreshGroundOptions,
): FreshGround {
  const { boundary, slivers = 'filled' } = options;
  const n = swaths.t0_s.length;
  const measured: FreshGround = {
    width_m: new Float64Array(n),
    area_m2: new Float64Array(n),
    overlap_m: new Float64Array(2 * n),
    share: new Float64Array(2 * n),
    taken_m: new Float64Array(2 * n),
    neighbour: new Int32Array(2 * n).fill(FREE),
  };
  const index = new RibbonIndex(ribbons);
  const widest_m = swaths.header_width_m.reduce((most, width) => Math.max(most, width || 0), 0);
  const edge = boundary && new FieldEdge(boundary, widest_m / 2 + WIDEST_TOLERANCE_M);
  const section = new CrossSection();
  const pose = new Float64Array(3);
  for (let i = 0; i < n; i++) {
    if (swaths.pass[i] < 0) continue;
    const near = neighboursOf(swaths, steps, ribbons, index, i);
    const apart_m = steps.begins[i] ? FINE_SECTION_M : SECTION_M;
    const lines = Math.max(1, Math.ceil(steps.ahead_m[i] / apart_m));
    const half_m = swaths.header_width_m[i] / 2;
    const reach_m = half_m + toleranceOf(swaths, i);
    const bend_per_m = steps.ahead_m[i] > 1e-6 ? steps.turn_rad[i] / steps.ahead_m[i] : 0;
    const ends: EndTolerance = {
      least_m: slivers === 'filled' ? half_m - reach_m : 0,
      most_m: reach_m - half_m,
      own_key: steps.pass_key[i],
    };
    for (let line = 0; line < lines; line++) {
      poseWithin(swaths, i, steps.turn_rad[i], (line + 0.5) / lines, pose);
      section.place(pose[0], pose[1], pose[2]);
      for (let k = 0; k < near.length; k++) {
        section.meet(ribbons, near[k], ribbons.last_row[near[k]] < ribbons.row_order[i], reach_m);
      }
      if (edge !== undefined) excludeOutside(edge, section, pose, reach_m);
      section.solve(half_m, bend_per_m, reach_m);
      measured.width_m[i] += section.fresh_m / lines;
      measured.area_m2[i] += (section.fresh_moment_m * steps.ahead_m[i]) / lines;
      noteEnd(measured, 2 * i, section.left, ends, lines);
      noteEnd(measured, 2 * i + 1, section.right, ends, lines);
    }
    for (const side of [2 * i, 2 * i + 1]) {
      if (measured.share[side] > 0) measured.overlap_m[side] /= measured.share[side];
    }
  }
  return measured;
}

/** Signed overlaps that may be errors; those with the pass itself, on curves, are not. */
interface EndTolerance {
  readonly least_m: number;
  readonly most_m: number;
  readonly own_key: number;
}

/** Adds one line's end to its row and side when it lies within tolerance of a neighbour. */
function noteEnd(
  measured: FreshGround,
  side: number,
  end: EndState,
  ends: EndTolerance,
  lines: number,
): void {
  if (end.key === FREE || end.key === ends.own_key) return;
  if (end.overlap_m < ends.least_m || end.overlap_m > ends.most_m) return;
  measured.overlap_m[side] += end.overlap_m / lines;
  measured.share[side] += 1 / lines;
  measured.taken_m[side] += Math.max(0, end.overlap_m) / lines;
  measured.neighbour[side] = end.key;
}

/** Pieces that lines of row i may meet, without those that the machine has just cut itself or is about to. */
function neighboursOf(
  swaths: Swaths,
  steps: RowSteps,
  ribbons: Ribbons,
  index: RibbonIndex,
  i: number,
): Int32Array {
  const across_m = swaths.header_width_m[i] / 2 + toleranceOf(swaths, i);
  const heading = swaths.heading0_rad[i] + steps.turn_rad[i] / 2;
  const sin = Math.sin(heading);
  const cos = Math.cos(heading);
  const ahead_m = steps.ahead_m[i] / 2 + 0.1 + across_m * Math.abs(Math.sin(steps.turn_rad[i] / 2));
  const east = (swaths.east0_m[i] + swaths.east1_m[i]) / 2;
  const north = (swaths.north0_m[i] + swaths.north1_m[i]) / 2;
  const boxEast = Math.abs(cos) * across_m + Math.abs(sin) * ahead_m + ribbons.reach_m;
  const boxNorth = Math.abs(sin) * across_m + Math.abs(cos) * ahead_m + ribbons.reach_m;
  const found = index.near(east - boxEast, north - boxNorth, east + boxEast, north + boxNorth);
  let kept = 0;
  for (let k = 0; k < found.length; k++) {
    const p = found[k];
    const own =
      ribbons.spell[p] === steps.spell[i] &&
      Math.abs(ribbons.way_m[p] - steps.way_m[i]) < swaths.header_width_m[i];
    if (own) continue;
    const dEast = ribbons.east_m[p] - east;
    const dNorth = ribbons.north_m[p] - north;
    if (Math.abs(dEast * sin + dNorth * cos) > ahead_m + ribbons.reach_m) continue;
    if (Math.abs(dEast * cos - dNorth * sin) > across_m + ribbons.reach_m) continue;
    found[kept++] = p;
  }
  return found.subarray(0, kept);
}

function excludeOutside(edge: FieldEdge, section: CrossSection, pose: Float64Array, reach_m: number): void {
  const side = edge.side(pose[0], pose[1]);
  if (side === 1) return;
  if (side === -1) {
    section.exclude(-reach_m, reach_m);
    return;
  }
  const crossings = edge.crossings(pose[0], pose[1], pose[2], reach_m);
  // walk from the middle, whose side is known, to the left end
  let inside = edge.contains(pose[0], pose[1]);
  for (const x of crossings) if (x < 0) inside = !inside;
  let from = -reach_m;
  for (const x of crossings) {
    if (!inside) section.exclude(from, x);
    inside = !inside;
    from = x;
  }
  if (!inside) section.exclude(from, reach_m);
}

/** Standard error of a row's place across its pass. */
export function acrossSe(swaths: Swaths, i: number): number {
  const se = swaths.position_se_m[i];
  return se >= 0 ? se : UNKNOWN_SE_M;
}

function toleranceOf(swaths: Swaths, i: number): number {
  return Math.min(WIDEST_TOLERANCE_M, STEERING_M + SIGMAS * Math.SQRT2 * acrossSe(swaths, i));
}
