/**
 * The ground under each header as the positions have it: how much of it was fresh, and how its ends lie to the
 * neighbouring swaths. Nothing here thinks of noise but the tolerance within which an end may be in error.
 */
import { CrossSection, type EndState, FREE } from './cross-section.ts';
import { FieldEdge, type PlaneRings } from './field-edge.ts';
import { RibbonIndex } from './ribbon-index.ts';
import { poseWithin, type Ribbons } from './ribbons.ts';
import { bendOf, type RowSteps } from './row-steps.ts';
import type { Swaths } from './track.ts';

/** Lines across the header are at most this far apart. Ours. */
const SECTION_M = 1;
/**
 * And this where the fresh width changes from line to line by more than `LEAP_M`, and in rows that do not go on from the
 * row before, which may begin on ground that it cut.
 */
const FINE_SECTION_M = 0.1;
const LEAP_M = 1;
/** Overlaps and slivers up to 3 standard errors of two positions, and this for the driver, may be errors. */
const STEERING_M = 0.3;
const SIGMAS = 3;
const WIDEST_TOLERANCE_M = 2.5;
/** And they are never most of a header: one that lies wholly on cut ground is no matter of errors. */
const WIDEST_SHARE = 1 / 3;
/**
 * Pieces that a line is cut with. A header that crosses the headland meets a few hundred; where more lie on top of each other
 * (a log full of repeated rows) the rest would only be found cut again.
 */
const MOST_NEAR = 1000;
/** And lines times pieces of one row: an ordinary one has some thousands; of longer ones the lines stand further apart. */
const MOST_MEETINGS = 30_000;
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

/** Cuts every row's lines with all that was cut before; where the width leaps, with finer ones. */
export function measureFreshGround(
  swaths: Swaths,
  steps: RowSteps,
  ribbons: Ribbons,
  options: FreshGroundOptions,
): FreshGround {
  const survey = new Survey(swaths, steps, ribbons, options);
  const lastOfMachine = new Map<number, number>();
  for (let i = 0; i < swaths.t0_s.length; i++) {
    if (steps.pass_key[i] < 0) continue;
    const before = steps.begins[i] ? undefined : lastOfMachine.get(swaths.machine[i]);
    lastOfMachine.set(swaths.machine[i], i);
    if (steps.begins[i]) survey.measure(i, FINE_SECTION_M);
    else if (survey.measure(i, SECTION_M) > LEAP_M) survey.measure(i, FINE_SECTION_M);
    // an edge may also be crossed between the last line of one row and the first of the next
    if (before !== undefined && Math.abs(survey.first_m[i] - survey.last_m[before]) > LEAP_M) {
      survey.measure(before, FINE_SECTION_M);
      survey.measure(i, FINE_SECTION_M);
    }
  }
  return survey.measured;
}

class Survey {
  readonly measured: FreshGround;
  /** Fresh width on the first and the last line of each row. */
  readonly first_m: Float64Array;
  readonly last_m: Float64Array;
  readonly #swaths: Swaths;
  readonly #steps: RowSteps;
  readonly #ribbons: Ribbons;
  readonly #index: RibbonIndex;
  readonly #edge: FieldEdge | undefined;
  readonly #filled: boolean;
  readonly #section = new CrossSection();
  readonly #pose = new Float64Array(3);

  constructor(swaths: Swaths, steps: RowSteps, ribbons: Ribbons, options: FreshGroundOptions) {
    const n = swaths.t0_s.length;
    this.#swaths = swaths;
    this.#steps = steps;
    this.#ribbons = ribbons;
    this.#index = new RibbonIndex(ribbons);
    const widest_m = swaths.header_width_m.reduce((most, width) => Math.max(most, width || 0), 0);
    this.#edge = options.boundary && new FieldEdge(options.boundary, widest_m / 2 + WIDEST_TOLERANCE_M);
    this.#filled = options.slivers !== 'left';
    this.first_m = new Float64Array(n);
    this.last_m = new Float64Array(n);
    this.measured = {
      width_m: new Float64Array(n),
      area_m2: new Float64Array(n),
      overlap_m: new Float64Array(2 * n),
      share: new Float64Array(2 * n),
      taken_m: new Float64Array(2 * n),
      neighbour: new Int32Array(2 * n).fill(FREE),
    };
  }

  /** Row i (anew) with lines at most `apart_m` apart; returns how much the fresh width differs among them. */
  measure(i: number, apart_m: number): number {
    const { measured } = this;
    const section = this.#section;
    const near = neighboursOf(this.#swaths, this.#steps, this.#ribbons, this.#index, i);
    const ahead_m = this.#steps.ahead_m[i];
    const most_lines = Math.ceil(MOST_MEETINGS / Math.max(1, near.length));
    const lines = Math.min(most_lines, Math.max(1, Math.ceil(ahead_m / apart_m)));
    const half_m = this.#swaths.header_width_m[i] / 2;
    const most_m = toleranceOf(this.#swaths, i);
    const bend_per_m = bendOf(this.#swaths, this.#steps, i);
    const ends: EndTolerance = {
      least_m: this.#filled ? -most_m : 0,
      most_m,
      own_key: this.#steps.pass_key[i],
    };
    this.#forget(i);
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let line = 0; line < lines; line++) {
      this.#cutLine(i, (line + 0.5) / lines, near, half_m + most_m);
      section.solve(half_m, bend_per_m, half_m + most_m);
      measured.width_m[i] += section.fresh_m / lines;
      measured.area_m2[i] += (section.fresh_moment_m * ahead_m) / lines;
      noteEnd(measured, 2 * i, section.left, ends, lines);
      noteEnd(measured, 2 * i + 1, section.right, ends, lines);
      if (line === 0) this.first_m[i] = section.fresh_m;
      least = Math.min(least, section.fresh_m);
      most = Math.max(most, section.fresh_m);
    }
    this.last_m[i] = section.fresh_m;
    for (let side = 2 * i; side <= 2 * i + 1; side++) {
      if (measured.share[side] > 0) measured.overlap_m[side] /= measured.share[side];
    }
    return most - least;
  }

  #cutLine(i: number, at: number, near: Int32Array, reach_m: number): void {
    const pose = this.#pose;
    const ribbons = this.#ribbons;
    poseWithin(this.#swaths, i, this.#steps.turn_rad[i], at, pose);
    this.#section.place(pose[0], pose[1], pose[2]);
    for (let k = 0; k < near.length; k++) {
      this.#section.meet(ribbons, near[k], ribbons.last_row[near[k]] < ribbons.row_order[i], reach_m);
    }
    if (this.#edge !== undefined) excludeOutside(this.#edge, this.#section, pose, reach_m);
  }

  #forget(i: number): void {
    const { measured } = this;
    measured.width_m[i] = 0;
    measured.area_m2[i] = 0;
    for (let side = 2 * i; side <= 2 * i + 1; side++) {
      measured.overlap_m[side] = 0;
      measured.share[side] = 0;
      measured.taken_m[side] = 0;
      measured.neighbour[side] = FREE;
    }
  }
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
  for (let k = 0; k < found.length && kept < MOST_NEAR; k++) {
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
  const tolerance_m = STEERING_M + SIGMAS * Math.SQRT2 * acrossSe(swaths, i);
  return Math.min(WIDEST_TOLERANCE_M, WIDEST_SHARE * swaths.header_width_m[i], tolerance_m);
}
