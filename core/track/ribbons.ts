/**
 * Swaths as the ribbons that a header sweeps: the quadrilateral pieces by which rows find the ground that others have cut. Short straight rows share a piece, long or bent ones have several, so
 * that the work does not depend on how often a receiver speaks.
 */
import { lengthOf } from '../columns.ts';
import type { RowSteps } from './row-steps.ts';
import type { Swaths } from './track.ts';

/** Pieces of ribbon; `corners` holds 8 numbers a piece: left and right end of the first line, right and left of the last. */
export interface Ribbons {
  readonly count: number;
  readonly corners: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  /** Last row in the piece … */
  readonly last_row: Int32Array;
  /** … and for each row the last row of its own piece: pieces that end before it were cut before. */
  readonly row_order: Int32Array;
  /** Way of the machine at the middle of the piece, metres from its first row. */
  readonly way_m: Float64Array;
  /** Unbroken drive ahead that the piece belongs to; unique over machines. */
  readonly spell: Int32Array;
  /** Pass that the piece belongs to; unique over machines. */
  readonly pass_key: Int32Array;
  /** Farthest that any corner lies from its piece's middle. */
  readonly reach_m: number;
}

/** Pieces are between these lengths, and bend by no more than this. */
const SHORT_PIECE_M = 1;
const LONG_PIECE_M = 4;
const BEND_RAD = 0.06;

/** Middle and heading of the header at the share `at` of row i, on the circular arc between its lines: [east, north, heading]. */
export function poseWithin(
  swaths: Swaths,
  i: number,
  turn_rad: number,
  at: number,
  pose: Float64Array,
): void {
  const east = swaths.east1_m[i] - swaths.east0_m[i];
  const north = swaths.north1_m[i] - swaths.north0_m[i];
  // rise of the arc over its chord, to the left when turning right
  const rise = Math.tan(turn_rad / 4) * 2 * at * (1 - at);
  pose[0] = swaths.east0_m[i] + at * east - rise * north;
  pose[1] = swaths.north0_m[i] + at * north + rise * east;
  pose[2] = swaths.heading0_rad[i] + at * turn_rad;
}

/** Pieces of all cutting rows that went ahead. */
export function ribbonsOf(swaths: Swaths, steps: RowSteps): Ribbons {
  const builder = new RibbonBuilder(swaths, steps);
  const open = new Map<number, { first: number; last: number; ahead_m: number; turn_rad: number }>();
  for (let i = 0; i < swaths.t0_s.length; i++) {
    if (steps.pass_key[i] < 0 || steps.ahead_m[i] <= 0) continue;
    const machine = swaths.machine[i];
    const piece = open.get(machine);
    if (
      piece !== undefined &&
      piece.ahead_m < SHORT_PIECE_M &&
      piece.ahead_m + steps.ahead_m[i] <= LONG_PIECE_M &&
      Math.abs(piece.turn_rad + steps.turn_rad[i]) <= BEND_RAD &&
      areOne(swaths, steps, piece.last, i)
    ) {
      piece.last = i;
      piece.ahead_m += steps.ahead_m[i];
      piece.turn_rad += steps.turn_rad[i];
      continue;
    }
    if (piece !== undefined) builder.add(piece.first, piece.last);
    open.set(machine, { first: i, last: i, ahead_m: steps.ahead_m[i], turn_rad: steps.turn_rad[i] });
  }
  for (const { first, last } of open.values()) builder.add(first, last);
  return builder.ribbons();
}

function areOne(swaths: Swaths, steps: RowSteps, before: number, i: number): boolean {
  return (
    steps.spell[before] === steps.spell[i] &&
    steps.pass_key[before] === steps.pass_key[i] &&
    swaths.header_width_m[before] === swaths.header_width_m[i] &&
    Math.abs(steps.way_m[i] - steps.way_m[before]) <= LONG_PIECE_M
  );
}

class RibbonBuilder {
  readonly #swaths: Swaths;
  readonly #steps: RowSteps;
  #count = 0;
  readonly #rowOrder: Int32Array;
  #corners = new Float64Array(8 * 1024);
  #lastRow = new Int32Array(1024);
  #way = new Float64Array(1024);
  readonly #line = new Float64Array(4);
  readonly #pose = new Float64Array(3);

  constructor(swaths: Swaths, steps: RowSteps) {
    this.#swaths = swaths;
    this.#steps = steps;
    this.#rowOrder = new Int32Array(swaths.t0_s.length);
  }

  /** Rows first..last as one piece, or one row as several. */
  add(first: number, last: number): void {
    for (let i = first; i <= last; i++) {
      if (this.#swaths.machine[i] === this.#swaths.machine[last]) this.#rowOrder[i] = last;
    }
    const turn = Math.abs(this.#steps.turn_rad[first]);
    const parts =
      first === last
        ? Math.max(1, Math.ceil(Math.max(this.#steps.ahead_m[first] / LONG_PIECE_M, turn / BEND_RAD)))
        : 1;
    for (let part = 0; part < parts; part++) {
      this.#grow();
      const at = 8 * this.#count;
      this.#lineAt(first, part / parts);
      this.#corners.set(this.#line, at);
      this.#lineAt(last, (part + 1) / parts);
      this.#corners[at + 4] = this.#line[2];
      this.#corners[at + 5] = this.#line[3];
      this.#corners[at + 6] = this.#line[0];
      this.#corners[at + 7] = this.#line[1];
      this.#lastRow[this.#count] = last;
      const { way_m, ahead_m } = this.#steps;
      this.#way[this.#count] =
        first === last
          ? way_m[first] + ((part + 0.5) / parts - 0.5) * ahead_m[first]
          : (way_m[first] + way_m[last]) / 2;
      this.#count++;
    }
  }

  ribbons(): Ribbons {
    const count = this.#count;
    const corners = this.#corners.slice(0, 8 * count);
    const east_m = new Float64Array(count);
    const north_m = new Float64Array(count);
    let reach_m = 0;
    for (let p = 0; p < count; p++) {
      for (let c = 0; c < 8; c += 2) {
        east_m[p] += corners[8 * p + c] / 4;
        north_m[p] += corners[8 * p + c + 1] / 4;
      }
      for (let c = 0; c < 8; c += 2) {
        reach_m = Math.max(
          reach_m,
          lengthOf(corners[8 * p + c] - east_m[p], corners[8 * p + c + 1] - north_m[p]),
        );
      }
    }
    const last_row = this.#lastRow.slice(0, count);
    return {
      count,
      corners,
      east_m,
      north_m,
      last_row,
      row_order: this.#rowOrder,
      way_m: this.#way.slice(0, count),
      spell: last_row.map((row) => this.#steps.spell[row]),
      pass_key: last_row.map((row) => this.#steps.pass_key[row]),
      reach_m,
    };
  }

  #lineAt(row: number, at: number): void {
    poseWithin(this.#swaths, row, this.#steps.turn_rad[row], at, this.#pose);
    const half = this.#swaths.header_width_m[row] / 2;
    const rightEast = half * Math.cos(this.#pose[2]);
    const rightNorth = -half * Math.sin(this.#pose[2]);
    this.#line[0] = this.#pose[0] - rightEast;
    this.#line[1] = this.#pose[1] - rightNorth;
    this.#line[2] = this.#pose[0] + rightEast;
    this.#line[3] = this.#pose[1] + rightNorth;
  }

  #grow(): void {
    if (this.#count < this.#lastRow.length) return;
    const doubled = 2 * this.#count;
    const corners = new Float64Array(8 * doubled);
    const lastRow = new Int32Array(doubled);
    const way = new Float64Array(doubled);
    corners.set(this.#corners);
    lastRow.set(this.#lastRow);
    way.set(this.#way);
    this.#corners = corners;
    this.#lastRow = lastRow;
    this.#way = way;
  }
}
