/** Swath rows as steps of a machine: how far each went ahead, where it turned, and what it goes on from. */
import { lengthOf } from '../columns.ts';
import { shortTurn } from './short-turn.ts';
import type { Swaths } from './track.ts';

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
  /** Pass of the row, unique over machines; −1 where it cuts nothing or has no place. */
  readonly pass_key: Int32Array;
}

/** A step back by more than this is backing, not jitter of a standing antenna. */
const JITTER_M = 0.5;
/** Rows that do not join within this begin a new spell: the machine went there unseen, or its rows were placed singly. */
const JOIN_M = 0.02;
const JOIN_S = 6;
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
    const cuts = swaths.pass[i] >= 0 && hasPlace(swaths, i);
    if (cuts && swaths.pass[i] !== state.pass) {
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
    steps.pass_key[i] = cuts ? state.pass_key : -1;
    state.way_m += Math.abs(ahead);
    state.row = i;
  }
  return steps;
}

function hasPlace(swaths: Swaths, i: number): boolean {
  const ends = swaths.east0_m[i] + swaths.north0_m[i] + swaths.east1_m[i] + swaths.north1_m[i];
  return (
    Number.isFinite(ends + swaths.heading0_rad[i] + swaths.heading1_rad[i]) && swaths.header_width_m[i] > 0
  );
}

function joins(swaths: Swaths, before: number, i: number): boolean {
  const apart_m = lengthOf(
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

/**
 * Curvature of row i for its area, positive to the right. A header that turns about a point within itself counts as
 * turning about its end: a header line that trembles while the machine stands must not sweep ground.
 */
export function bendOf(swaths: Swaths, steps: RowSteps, i: number): number {
  const tightest = 2 / swaths.header_width_m[i];
  const bend_per_m = steps.turn_rad[i] / steps.ahead_m[i] || 0;
  return Math.max(-tightest, Math.min(tightest, bend_per_m));
}
