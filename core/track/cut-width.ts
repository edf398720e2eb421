/**
 * How wide each row really cut: the part of its header that met ground nobody had cut before, over all machines in time
 * order. Instead of a raster, lines across the header are cut with the exact outlines of earlier swaths.
 */
import { CrossSection, type EndState, FIELD_EDGE, FREE } from './cross-section.ts';
import { type EdgeOverlaps, estimateOverlaps } from './edge-overlap.ts';
import { FieldEdge, type PlaneRings } from './field-edge.ts';
import { RibbonIndex } from './ribbon-index.ts';
import { poseWithin, type Ribbons, type RowSteps, ribbonsOf, rowSteps } from './ribbons.ts';
import type { CutWidthSolution, Swaths } from './track.ts';

export interface CutWidthOptions {
  /** Crop rows on the header by machine: widths are then whole rows. Machines that are absent cut any width. */
  readonly whole_rows?: ReadonlyMap<number, number>;
  /** The field's boundary in its plane: what a header sweeps outside is not the field's ground. */
  readonly boundary?: PlaneRings;
  /**
   * Whether slivers between neighbouring passes, no wider than position errors, count as cut by the later one
   * (`filled`, the default), or the field is the plain union of the swaths as given (`left`): for logs whose
   * swaths were made elsewhere and are to be taken at their word.
   */
  readonly slivers?: 'filled' | 'left';
}

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

/** Measured before any thought of noise: per row, and per row and side (left 2i, right 2i + 1). */
interface Measured {
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

/**
 * Fresh width and area of every row. The order of rows is the order of cutting; rows with pass −1 neither count nor
 * cover, and may be without a place.
 *
 * Width: mean over lines at most 0.6 m apart of the length not on earlier swaths (the machine's own from one header
 * width back on). Area: the same with the arc's longer outside and shorter inside (Pappus), so that the sum over rows
 * is the area of the union of all swaths, with slivers between neighbours that are no wider than the position error
 * filled: noise neither narrows a full header nor changes the field. Throws RangeError when rows are out of order
 * or columns differ in length.
 */
export function cutWidths(swaths: Swaths, options: CutWidthOptions = {}): CutWidthSolution {
  checkRows(swaths);
  const steps = rowSteps(swaths);
  const ribbons = ribbonsOf(swaths, steps);
  const measured = measure(swaths, steps, ribbons, options);
  const width_m = measured.width_m.slice();
  const area_m2 = measured.area_m2.slice();
  for (const isEdge of [false, true]) settleEnds(swaths, steps, measured, isEdge, width_m, area_m2);
  for (let i = 0; i < width_m.length; i++) {
    const rows = options.whole_rows?.get(swaths.machine[i]);
    const full_m = swaths.header_width_m[i];
    const before_m = Math.min(full_m, Math.max(0, width_m[i]));
    area_m2[i] = Math.max(0, area_m2[i]);
    width_m[i] = rows === undefined ? before_m : (Math.round((before_m / full_m) * rows) / rows) * full_m;
    if (rows !== undefined) area_m2[i] = before_m > 0 ? (area_m2[i] * width_m[i]) / before_m : 0;
  }
  return { cut_width_m: width_m, fresh_area_m2: area_m2 };
}

function checkRows(swaths: Swaths): void {
  const n = swaths.t0_s.length;
  for (const [name, column] of Object.entries(swaths)) {
    if (column.length !== n) throw new RangeError(`swaths have ${n} rows but ${column.length} of ${name}`);
  }
  let before = -1;
  for (let i = 0; i < n; i++) {
    if (swaths.pass[i] < 0) continue;
    if (before >= 0 && !(swaths.t1_s[i] >= swaths.t0_s[before])) {
      throw new RangeError(
        `swaths must be in time order: row ${i} ends at ${swaths.t1_s[i]} s, before row ${before} starts at ${swaths.t0_s[before]} s`,
      );
    }
    before = i;
  }
}

function seOf(swaths: Swaths, i: number): number {
  const se = swaths.position_se_m[i];
  return se >= 0 ? se : UNKNOWN_SE_M;
}

function toleranceOf(swaths: Swaths, i: number): number {
  return Math.min(WIDEST_TOLERANCE_M, STEERING_M + SIGMAS * Math.SQRT2 * seOf(swaths, i));
}

function measure(swaths: Swaths, steps: RowSteps, ribbons: Ribbons, options: CutWidthOptions): Measured {
  const { boundary, slivers = 'filled' } = options;
  const n = swaths.t0_s.length;
  const measured: Measured = {
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
function noteEnd(measured: Measured, side: number, end: EndState, ends: EndTolerance, lines: number): void {
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

/** Puts the estimated overlaps in the place of the measured ones, at neighbours or at the field's edge. */
function settleEnds(
  swaths: Swaths,
  steps: RowSteps,
  measured: Measured,
  isEdge: boolean,
  width_m: Float64Array,
  area_m2: Float64Array,
): void {
  const sides = sidesInRuns(swaths, measured, isEdge);
  const items = overlapItems(swaths, steps, measured, sides);
  const estimate_m = estimateOverlaps(items);
  for (let k = 0; k < sides.length; k++) {
    const side = sides[k];
    const i = side >> 1;
    const wider_m = measured.taken_m[side] - measured.share[side] * estimate_m[k];
    width_m[i] += wider_m;
    area_m2[i] += wider_m * wayOfEnd(swaths, steps, side);
  }
}

/** Sides with a neighbour, machine by machine, left edges then right edges, in time order. */
function sidesInRuns(swaths: Swaths, measured: Measured, isEdge: boolean): Int32Array {
  const byEdge = new Map<number, number[]>();
  for (let side = 0; side < measured.share.length; side++) {
    if (measured.share[side] === 0 || (measured.neighbour[side] === FIELD_EDGE) !== isEdge) continue;
    const edge = 2 * swaths.machine[side >> 1] + (side & 1);
    const list = byEdge.get(edge);
    if (list === undefined) byEdge.set(edge, [side]);
    else list.push(side);
  }
  return Int32Array.from([...byEdge.values()].flat());
}

function overlapItems(swaths: Swaths, steps: RowSteps, measured: Measured, sides: Int32Array): EdgeOverlaps {
  const n = sides.length;
  const run = new Int32Array(n);
  for (let k = 1; k < n; k++) {
    const [a, b] = [sides[k - 1], sides[k]];
    const same =
      (a & 1) === (b & 1) &&
      steps.pass_key[a >> 1] === steps.pass_key[b >> 1] &&
      measured.neighbour[a] === measured.neighbour[b];
    run[k] = run[k - 1] + (same ? 0 : 1);
  }
  return {
    run,
    t_s: Float64Array.from(sides, (side) => swaths.t0_s[side >> 1]),
    overlap_m: Float64Array.from(sides, (side) => measured.overlap_m[side]),
    way_m: Float64Array.from(sides, (side) => measured.share[side] * wayOfEnd(swaths, steps, side)),
    position_se_m: Float64Array.from(sides, (side) => seOf(swaths, side >> 1)),
  };
}

/** Way of a header's end: longer than the middle's on the outside of a curve. */
function wayOfEnd(swaths: Swaths, steps: RowSteps, side: number): number {
  const i = side >> 1;
  const outward = (swaths.header_width_m[i] / 2) * steps.turn_rad[i];
  return Math.max(0, steps.ahead_m[i] + (side & 1 ? -outward : outward));
}
