/**
 * Which stretches of a machine's way are passes: from the header switch where it is logged, else from the motion.
 * Rows are the track's; all results are per interval between consecutive rows (one fewer).
 */
import { type HeaderDown, type HeaderSwitch, headerDown, headerMoves } from './header-state.ts';
import { type Motion, motionOf, type PassWay } from './way-motion.ts';

export interface PassInput extends PassWay {
  readonly header?: HeaderSwitch;
  /** Per interval: 1 where other evidence (grain, moved back by a coarse lag) says that crop was being cut. */
  readonly working?: Uint8Array;
}

export interface PassesSolution {
  /** 0, 1, 2 … in time order; −1 where not cutting. */
  readonly pass: Int32Array;
  /** 1 where `pass` ≥ 0. */
  readonly cutting: Uint8Array;
  /** Share of the interval during which the header was down; 0 where not cutting, 1 without a header switch. */
  readonly cutting_fraction: Float64Array;
  /** The cutting stretch within the interval, as shares of it: from … */
  readonly cut_from: Float64Array;
  /** … to. */
  readonly cut_to: Float64Array;
  readonly pass_count: number;
  readonly basis: 'header' | 'motion';
}

/** Intervals that were cut in for less than this (and less than half) are not counted as cutting. Ours. */
const SHORTEST_STRETCH_S = 0.1;
/** Slower than this with the header down is standing, not creeping. Ours. */
const STANDING_M_S = 0.1;
/** A longer stand ends the pass: the elevator has begun to run empty. Of the order of the shortest lag [BealTian2001]. */
const LONGEST_STAND_S = 10;
/** Without a header switch: slower is not harvesting, faster is travelling (16 km/h). Common practice, no source. */
const SLOWEST_M_S = 0.3;
const FASTEST_M_S = 4.5;
/** Without a header switch: turning faster is a headland turn; 2 m/s on a curve of 10 m radius is 11.5°/s. Ours. */
const FASTEST_TURN_RAD_S = (12 * Math.PI) / 180;
/** A bend by this much … */
const CORNER_RAD = (60 * Math.PI) / 180;
/** … within this time is a corner between two passes. */
const CORNER_S = 4;
/** Without a header switch: shorter pieces are no passes. */
const SHORTEST_PASS_M = 15;
/** Holes in the evidence of grain up to this long are bridged. */
const LONGEST_HOLE_S = 5;
/**
 * Passes of one machine. Curved and contour passes are passes; a pass ends when the header goes up, after a stand of
 * more than 10 s, at a corner (> 60° within 4 s), where the machine backs, and at a silence that cannot be bridged.
 * A switch that was only ever seen in one state is not believed. Throws RangeError for columns of unequal length.
 */
export function findPasses(input: PassInput): PassesSolution {
  const n = Math.max(0, input.t_s.length - 1);
  if (input.working !== undefined && input.working.length !== n) {
    throw new RangeError(`working has ${input.working.length} rows for ${n} intervals`);
  }
  const byHeader = input.header !== undefined && headerMoves(input.header);
  const down: HeaderDown = byHeader && input.header ? headerDown(input.header, input.t_s) : downThroughout(n);
  const motion = motionOf(input);
  const { t_s } = input;
  const able = byHeader ? cuttingByHeader(t_s, motion, down) : cuttingByMotion(t_s, motion, input.working);
  const { pass, pass_count } = numbered(t_s, motion, able, byHeader ? 0 : SHORTEST_PASS_M, down);
  const inPass = (column: Float64Array) => column.map((share, i) => (pass[i] >= 0 ? share : 0));
  return {
    pass,
    cutting: new Uint8Array(pass.map((number) => (number >= 0 ? 1 : 0))),
    cutting_fraction: inPass(down.fraction),
    cut_from: inPass(down.from),
    cut_to: inPass(down.to),
    pass_count,
    basis: byHeader ? 'header' : 'motion',
  };
}

function downThroughout(n: number): HeaderDown {
  return {
    fraction: new Float64Array(n).fill(1),
    from: new Float64Array(n),
    to: new Float64Array(n).fill(1),
  };
}

function cuttingByHeader(t_s: Float64Array, motion: Motion, down: HeaderDown): Uint8Array {
  const able = motion.joined.map((joined, i) => {
    const share = down.to[i] - down.from[i];
    return joined && (share >= 0.5 || share * motion.duration_s[i] >= SHORTEST_STRETCH_S) ? 1 : 0;
  });
  return withoutStands(t_s, able, (i) => motion.speed_m_s[i] < STANDING_M_S);
}

function cuttingByMotion(t_s: Float64Array, motion: Motion, hint: Uint8Array | undefined): Uint8Array {
  const working = hint && bridged(t_s, hint, LONGEST_HOLE_S);
  const able = motion.joined.map((joined, i) =>
    joined &&
    motion.speed_m_s[i] <= FASTEST_M_S &&
    motion.turn_rad_s[i] <= FASTEST_TURN_RAD_S &&
    (working === undefined || working[i])
      ? 1
      : 0,
  );
  return withoutStands(t_s, able, (i) => motion.speed_m_s[i] < SLOWEST_M_S);
}

/** Clears stands that last longer than `LONGEST_STAND_S`, and all that begin or end a run. */
function withoutStands(t_s: Float64Array, able: Uint8Array, stands: (i: number) => boolean): Uint8Array {
  const kept = able.slice();
  for (let from = 0, to = 0; from < able.length; from = to) {
    to = from + 1;
    if (!stands(from)) continue;
    while (to < able.length && stands(to)) to++;
    const within = from > 0 && able[from - 1] === 1 && able[to] === 1;
    if (!within || t_s[to] - t_s[from] > LONGEST_STAND_S) kept.fill(0, from, to);
  }
  return kept;
}

/** Sets the short runs of zeros between ones. */
function bridged(t_s: Float64Array, mask: Uint8Array, longest_s: number): Uint8Array {
  const filled = mask.slice();
  for (let from = 0, to = 0; from < mask.length; from = to) {
    to = from + 1;
    if (mask[from]) continue;
    while (to < mask.length && !mask[to]) to++;
    if (from > 0 && to < mask.length && t_s[to] - t_s[from] <= longest_s) filled.fill(1, from, to);
  }
  return filled;
}

/** Numbers the runs of cutting intervals, split where the header was up within one and at corners. */
function numbered(
  t_s: Float64Array,
  motion: Motion,
  able: Uint8Array,
  shortest_m: number,
  down: HeaderDown,
): { pass: Int32Array; pass_count: number } {
  const pass = new Int32Array(able.length).fill(-1);
  const corner = corners(t_s, motion, able);
  let pass_count = 0;
  for (let from = 0, to = 0; from < able.length; from = to) {
    to = from + 1;
    if (!able[from]) continue;
    let way_m = motion.way_m[from];
    while (to < able.length && able[to] && !corner[to] && down.to[to - 1] >= 1 && down.from[to] <= 0) {
      way_m += motion.way_m[to++];
    }
    if (way_m >= shortest_m) pass.fill(pass_count++, from, to);
  }
  return { pass, pass_count };
}

/** 1 at the sharpest interval of each bend that turns by more than `CORNER_RAD` within `CORNER_S`. */
function corners(t_s: Float64Array, motion: Motion, able: Uint8Array): Uint8Array {
  const corner = new Uint8Array(able.length);
  const { unwrapped_rad } = motion;
  let first = 0;
  let sharpest = -1;
  for (let i = 0; i < able.length; i++) {
    while (t_s[i + 1] - t_s[first] > CORNER_S && first < i) first++;
    const bends = able[i] === 1 && Math.abs(unwrapped_rad[i + 1] - unwrapped_rad[first]) > CORNER_RAD;
    if (!bends) {
      if (sharpest >= 0) corner[sharpest] = 1;
      sharpest = -1;
      continue;
    }
    for (let k = sharpest < 0 ? first : i; k <= i; k++) {
      if (sharpest < 0 || turnOf(motion, k) > turnOf(motion, sharpest)) sharpest = k;
    }
  }
  if (sharpest >= 0) corner[sharpest] = 1;
  return corner;
}

function turnOf(motion: Motion, i: number): number {
  return Math.abs(motion.unwrapped_rad[i + 1] - motion.unwrapped_rad[i]) / motion.duration_s[i];
}
