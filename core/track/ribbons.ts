/**
 * Swaths as the ribbons that a header sweeps: how far each row went ahead, and the quadrilateral pieces by which
 * rows find the ground that others have cut. Short straight rows share a piece, long or bent ones have several, so
 * that the work does not depend on how often a receiver speaks.
 */
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

/** Rows as steps ahead. */
export interface RowSteps {
  /** Way ahead of the header's middle along its arc, less what only made good a small step back. */
  readonly ahead_m: Float64Array;
  /** Turn from the first line to the last, positive to the right. */
  readonly turn_rad: Float64Array;
  readonly way_m: Float64Array;
  readonly spell: Int32Array;
  /** 1 where the row begins a new spell instead of going on from the row before. */
  readonly begins: Uint8Array;
  readonly pass_key: Int32Array;
}

/** A step back by more than this is backing, not jitter of a standing antenna. */
const JITTER_M = 0.5;
/** Rows that do not join within this begin a new spell: the machine went there unseen, or its rows were placed singly. */
const JOIN_M = 0.02;
const JOIN_S = 6;
/** Pieces are between these lengths, and bend by no more than this. */
const SHORT_PIECE_M = 1;
const LONG_PIECE_M = 4;
const BEND_RAD = 0.06;

/** Turn from one heading to another the short way, −π..π, positive clockwise. */
export function shortTurn(from_rad: number, to_rad: number): number {
  const turn = to_rad - from_rad;
  return turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
}

interface MachineState {
  row: number;
  way_m: number;
  spell: number;
  back_m: number;
  pass: number;
  pass_key: number;
}

/** Steps of all rows, each machine followed through its own. */
export function rowSteps(swaths: Swaths): RowSteps {
  const n = swaths.t0_s.length;
  const steps = {
    ahead_m: new Float64Array(n),
    turn_rad: new Float64Array(n),
    way_m: new Float64Array(n),
    spell: new Int32Array(n),
    begins: new Uint8Array(n),
    pass_key: new Int32Array(n).fill(-1),
  };
  const states = new Map<number, MachineState>();
  let spells = 0;
  let keys = 0;
  for (let i = 0; i < n; i++) {
    let state = states.get(swaths.machine[i]);
    if (state === undefined) {
      state = { row: -1, way_m: 0, spell: spells++, back_m: 0, pass: -1, pass_key: -1 };
      states.set(swaths.machine[i], state);
    } else if (!joins(swaths, state.row, i)) {
      state.spell = spells++;
      state.back_m = 0;
    }
    if (swaths.pass[i] >= 0 && swaths.pass[i] !== state.pass) {
      state.pass = swaths.pass[i];
      state.pass_key = keys++;
    }
    const turn = shortTurn(swaths.heading0_rad[i], swaths.heading1_rad[i]) || 0;
    // a row without a place went nowhere
    const ahead = stepAhead(swaths, i, turn) || 0;
    steps.turn_rad[i] = turn;
    if (ahead < 0) state.back_m -= ahead;
    if (state.back_m > JITTER_M) {
      state.spell = spells++;
      state.back_m = 0;
    }
    const good_m = ahead > 0 ? Math.min(ahead, state.back_m) : 0;
    state.back_m -= good_m;
    steps.ahead_m[i] = Math.max(0, ahead) - good_m;
    steps.way_m[i] = state.way_m + Math.abs(ahead) / 2;
    steps.begins[i] = state.row < 0 || steps.spell[state.row] !== state.spell ? 1 : 0;
    steps.spell[i] = state.spell;
    steps.pass_key[i] = swaths.pass[i] >= 0 ? state.pass_key : -1;
    state.way_m += Math.abs(ahead);
    state.row = i;
  }
  return steps;
}

function joins(swaths: Swaths, before: number, i: number): boolean {
  const apart_m = Math.hypot(
    swaths.east0_m[i] - swaths.east1_m[before],
    swaths.north0_m[i] - swaths.north1_m[before],
  );
  return apart_m <= JOIN_M && swaths.t0_s[i] - swaths.t1_s[before] <= JOIN_S;
}

/** Way of the header's middle in the direction it faces, along the arc; negative when backing. */
function stepAhead(swaths: Swaths, i: number, turn_rad: number): number {
  const middle = swaths.heading0_rad[i] + turn_rad / 2;
  const chord_m =
    (swaths.east1_m[i] - swaths.east0_m[i]) * Math.sin(middle) +
    (swaths.north1_m[i] - swaths.north0_m[i]) * Math.cos(middle);
  const half = turn_rad / 2;
  return Math.abs(half) < 1e-4 ? chord_m : (chord_m * half) / Math.sin(half);
}

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
    if (swaths.pass[i] < 0 || steps.ahead_m[i] <= 0) continue;
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
          Math.hypot(corners[8 * p + c] - east_m[p], corners[8 * p + c + 1] - north_m[p]),
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
