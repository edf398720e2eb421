/** Where the machine's nose points: its course when it drives on, the opposite when it backs, held when it stands. */
import { lengthOf } from '../columns.ts';
import type { MotionStates } from './constant-velocity.ts';

export interface NoseHeadings {
  readonly speed_m_s: Float64Array;
  /** 0..2π clockwise from north. */
  readonly heading_rad: Float64Array;
  /** 1 where the machine drove backwards. */
  readonly reversing: Uint8Array;
}

/** Below this the course of a moving antenna says nothing. */
const MOVING_M_S = 0.4;
/** Nobody backs a harvester further or longer than this; the machine then has turned unseen. Common practice, no source. */
const LONGEST_BACKING_M = 60;
const LONGEST_BACKING_S = 60;
/** Distance between two rows over the way at their speeds: 2/π in half a circle, nearly 0 when a way is retraced. */
const RETRACED = 0.5;

/**
 * Speed, nose heading and backing from smoothed motion. The nose cannot leap: a course that turns over by more than
 * 90° through a stop, or within one interval that ends where it began, is the machine backing. A gap in time ends
 * all knowledge of the nose. Rows before the first movement get its heading; a track that never moves gets 0.
 */
export function noseHeadings(t_s: Float64Array, states: MotionStates, gap_s: number): NoseHeadings {
  const n = t_s.length;
  const speed_m_s = new Float64Array(n);
  const course_rad = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    speed_m_s[k] = lengthOf(states.east_m_s[k], states.north_m_s[k]);
    course_rad[k] = Math.atan2(states.east_m_s[k], states.north_m_s[k]);
  }
  const reversing = new Uint8Array(n);
  for (let from = 0, to = 0; from < n; from = to) {
    to = from + 1;
    while (to < n && t_s[to] - t_s[to - 1] <= gap_s) to++;
    markBacking(t_s, states, speed_m_s, course_rad, from, to, reversing);
  }
  return { speed_m_s, heading_rad: heldHeadings(t_s, speed_m_s, course_rad, reversing, gap_s), reversing };
}

/** Spells between turnings-over of the course are alternately ahead and backing; over-long backing is none. */
function markBacking(
  t_s: Float64Array,
  states: MotionStates,
  speed_m_s: Float64Array,
  course_rad: Float64Array,
  from: number,
  to: number,
  reversing: Uint8Array,
): void {
  let spell = -1;
  let last = -1;
  let way_m = 0;
  for (let k = from; k < to; k++) {
    if (k > from && spell >= 0) way_m += speed_m_s[k] * (t_s[k] - t_s[k - 1]);
    if (speed_m_s[k] < MOVING_M_S) continue;
    const over = last >= 0 && turnsOver(t_s, states, speed_m_s, course_rad, last, k);
    if (over && spell >= 0) {
      reversing.fill(1, spell, k);
      spell = -1;
    } else if (over) {
      spell = k;
      way_m = 0;
    } else if (spell >= 0 && (way_m > LONGEST_BACKING_M || t_s[k] - t_s[spell] > LONGEST_BACKING_S)) {
      spell = -1;
    }
    last = k;
  }
}

/** Whether the course of moving row k is the reverse of that of `last`, the moving row before it. */
function turnsOver(
  t_s: Float64Array,
  states: MotionStates,
  speed_m_s: Float64Array,
  course_rad: Float64Array,
  last: number,
  k: number,
): boolean {
  if (Math.cos(course_rad[k] - course_rad[last]) > 0) return false;
  if (k > last + 1) return true;
  const straight_m = lengthOf(
    states.east_m[k] - states.east_m[last],
    states.north_m[k] - states.north_m[last],
  );
  const way_m = ((speed_m_s[k] + speed_m_s[last]) / 2) * (t_s[k] - t_s[last]);
  return straight_m < RETRACED * way_m;
}

function heldHeadings(
  t_s: Float64Array,
  speed_m_s: Float64Array,
  course_rad: Float64Array,
  reversing: Uint8Array,
  gap_s: number,
): Float64Array {
  const n = t_s.length;
  const heading_rad = new Float64Array(n);
  const turn = 2 * Math.PI;
  let known = false;
  let unknownFrom = 0;
  for (let k = 0; k < n; k++) {
    if (k > 0 && t_s[k] - t_s[k - 1] > gap_s) {
      known = false;
      unknownFrom = k;
    }
    if (speed_m_s[k] >= MOVING_M_S) {
      heading_rad[k] = (course_rad[k] + (reversing[k] ? Math.PI : 0) + turn) % turn;
      if (!known) heading_rad.fill(heading_rad[k], unknownFrom, k);
      known = true;
    } else if (k > 0) {
      heading_rad[k] = heading_rad[k - 1];
    }
  }
  return heading_rad;
}
