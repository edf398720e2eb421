/**
 * One line across a header: which parts of it lie on ground that was cut before, exactly, and how its two ends lie to
 * the neighbouring swaths (overlap, a sliver between, or free).
 */
import type { Ribbons } from './ribbons.ts';

/** Pass keys that stand for no pass. */
export const FREE = -1;
export const FIELD_EDGE = -2;

const MOST_PARTS = 256;
/** Parts closer than this touch: pieces of one swath meet in a seam that rounding may leave open, metres. */
const SEAM_M = 1e-3;

/** Parts [low, high] of a line with the pass that each belongs to, kept in order of `low`. */
class Parts {
  count = 0;
  readonly low = new Float64Array(MOST_PARTS);
  readonly high = new Float64Array(MOST_PARTS);
  readonly key = new Int32Array(MOST_PARTS);

  add(low: number, high: number, key: number): void {
    if (this.count === MOST_PARTS || !(high > low)) return;
    let at = this.count++;
    while (at > 0 && this.low[at - 1] > low) {
      this.low[at] = this.low[at - 1];
      this.high[at] = this.high[at - 1];
      this.key[at] = this.key[at - 1];
      at--;
    }
    this.low[at] = low;
    this.high[at] = high;
    this.key[at] = key;
  }

  /** Length of [low, high] that is covered. */
  coverOf(low: number, high: number): number {
    let covered = 0;
    let reached = low;
    for (let k = 0; k < this.count && this.low[k] < high; k++) {
      const from = Math.max(reached, this.low[k]);
      const to = Math.min(high, this.high[k]);
      if (to > from) {
        covered += to - from;
        reached = to;
      }
    }
    return covered;
  }
}

/** A header end's place to the neighbouring swath: positive overlap, negative sliver; `key` FREE when there is none. */
export interface EndState {
  overlap_m: number;
  key: number;
}

export class CrossSection {
  /** Fresh length, metres. */
  fresh_m = 0;
  /** Integral of (1 − bend·u) over the fresh part, u the distance right of the middle: its share of the arc's area. */
  fresh_moment_m = 0;
  readonly left: EndState = { overlap_m: 0, key: FREE };
  readonly right: EndState = { overlap_m: 0, key: FREE };
  readonly #earlier = new Parts();
  readonly #later = new Parts();
  #east_m = 0;
  #north_m = 0;
  #sin = 0;
  #cos = 1;

  /** Places the line: middle of the header and heading. Forgets what lay on the line before. */
  place(east_m: number, north_m: number, heading_rad: number): void {
    this.#east_m = east_m;
    this.#north_m = north_m;
    this.#sin = Math.sin(heading_rad);
    this.#cos = Math.cos(heading_rad);
    this.#earlier.count = 0;
    this.#later.count = 0;
  }

  /** Notes where the line meets piece p within `reach_m` of the middle. */
  meet(ribbons: Ribbons, p: number, isEarlier: boolean, reach_m: number): void {
    const { corners } = ribbons;
    const sin = this.#sin;
    const cos = this.#cos;
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    let at = 8 * p + 6;
    let east = corners[at] - this.#east_m;
    let north = corners[at + 1] - this.#north_m;
    let y0 = east * sin + north * cos;
    let x0 = east * cos - north * sin;
    for (at = 8 * p; at < 8 * p + 8; at += 2) {
      east = corners[at] - this.#east_m;
      north = corners[at + 1] - this.#north_m;
      const y1 = east * sin + north * cos;
      const x1 = east * cos - north * sin;
      if (y0 > 0 !== y1 > 0) {
        const x = x0 + ((x1 - x0) * y0) / (y0 - y1);
        if (x < low) low = x;
        if (x > high) high = x;
      }
      x0 = x1;
      y0 = y1;
    }
    if (low < reach_m && high > -reach_m) {
      (isEarlier ? this.#earlier : this.#later).add(
        Math.max(low, -reach_m),
        Math.min(high, reach_m),
        ribbons.pass_key[p],
      );
    }
  }

  /** Notes a part of the line that lies outside the field. */
  exclude(low_m: number, high_m: number): void {
    this.#earlier.add(low_m, high_m, FIELD_EDGE);
  }

  /** Sums up a header of half width `half_m` on an arc of curvature `bend_per_m` (positive to the right, within ±1/half). */
  solve(half_m: number, bend_per_m: number, reach_m: number): void {
    const parts = this.#earlier;
    let fresh = 2 * half_m;
    let moment = momentOf(-half_m, half_m, bend_per_m);
    let reached = -half_m;
    for (let k = 0; k < parts.count && parts.low[k] < half_m; k++) {
      const low = Math.max(reached, parts.low[k]);
      const high = Math.min(half_m, parts.high[k]);
      if (high <= low) continue;
      fresh -= high - low;
      moment -= momentOf(low, high, bend_per_m);
      reached = high;
    }
    this.fresh_m = Math.max(0, fresh);
    this.fresh_moment_m = Math.max(0, moment);
    this.#solveLeft(half_m, reach_m);
    this.#solveRight(half_m, reach_m);
  }

  #solveLeft(half_m: number, reach_m: number): void {
    const { low, high, key, count } = this.#earlier;
    let edge = -reach_m;
    let neighbour = FREE;
    // the farthest right that unbroken cover reaches from the left end, or the nearest cover beyond it
    for (let k = 0; k < count && low[k] <= Math.max(edge, -half_m) + SEAM_M; k++) {
      if (high[k] > edge) {
        edge = high[k];
        neighbour = key[k];
      }
    }
    this.left.key = neighbour;
    this.left.overlap_m = edge >= -half_m ? Math.min(edge, half_m) + half_m : this.#sliver(edge, -half_m);
  }

  #solveRight(half_m: number, reach_m: number): void {
    const { low, high, key, count } = this.#earlier;
    let edge = reach_m;
    let neighbour = FREE;
    for (let moved = true; moved; ) {
      moved = false;
      for (let k = 0; k < count; k++) {
        if (high[k] >= Math.min(edge, half_m) - SEAM_M && low[k] < edge) {
          edge = low[k];
          neighbour = key[k];
          moved = true;
        }
      }
    }
    this.right.key = neighbour;
    this.right.overlap_m = edge <= half_m ? half_m - Math.max(edge, -half_m) : this.#sliver(half_m, edge);
  }

  /** Ground between a header end and its neighbour that nobody cuts later, as a negative overlap. */
  #sliver(low: number, high: number): number {
    return this.#later.coverOf(low, high) - (high - low);
  }
}

function momentOf(low: number, high: number, bend_per_m: number): number {
  return (high - low) * (1 - (bend_per_m * (high + low)) / 2);
}
