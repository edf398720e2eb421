/**
 * Trailing edges as they come, each judged against the running median of the periods about it, in blocks: the memory is
 * that of one block, whatever the length of the log.
 */

/** Periods to either side of the running median's window. */
const REACH = 10;
/** Rows judged at a time. */
const BLOCK = 1024;
/** Rows between which one look at the extremes serves for all. */
const CHUNK = 64;

/** Judges rows `from` .. `to` − 1 of the window, each of which has its neighbours there. */
export type RowJudge = (window: PeriodWindow, from: number, to: number) => void;

export class PeriodWindow {
  /** Counter of each trailing edge, µs, and the dark time before it, µs (NaN where an edge is lost). */
  readonly trailing_us = new Float64Array(BLOCK + 4 * REACH);
  readonly dark_us = new Float64Array(BLOCK + 4 * REACH);
  /** Rows in the window. */
  size = 0;
  readonly #judge: RowJudge;
  readonly #period_us = new Float64Array(BLOCK + 4 * REACH);
  readonly #sorted = new Float64Array(2 * REACH + 1);
  #next = 0;

  constructor(judge: RowJudge) {
    this.#judge = judge;
  }

  add(trailing_us: number, dark_us: number): void {
    if (this.size === this.trailing_us.length) {
      this.#judgeUpTo(this.size - REACH);
      this.#shift();
    }
    const i = this.size++;
    this.trailing_us[i] = trailing_us;
    this.dark_us[i] = dark_us;
    this.#period_us[i] = i === 0 ? Number.NaN : trailing_us - this.trailing_us[i - 1];
  }

  /** Judges what is left; after it nothing may be added. */
  finish(): void {
    this.#judgeUpTo(this.size);
  }

  /** Since the trailing edge before, µs; NaN for the very first one. */
  period(i: number): number {
    return this.#period_us[i];
  }

  /** Running median of the periods about row i, µs (that of an even number at the ends: the upper middle one). */
  running(i: number): number {
    const sorted = this.#sorted;
    const last = Math.min(this.size - 1, i + REACH);
    let count = 0;
    for (let k = Math.max(0, i - REACH); k <= last; k++) {
      const period_us = this.#period_us[k];
      if (Number.isNaN(period_us)) continue;
      let at = count++;
      for (; at > 0 && sorted[at - 1] > period_us; at--) sorted[at] = sorted[at - 1];
      sorted[at] = period_us;
    }
    return count > 0 ? sorted[count >> 1] : Number.NaN;
  }

  /** A bound above all running medians of rows `from` .. `to` − 1: the longest period about them. */
  longest(from: number, to: number): number {
    let longest_us = 0;
    const last = Math.min(this.size, to + REACH);
    for (let k = Math.max(0, from - REACH); k < last; k++) {
      if (this.#period_us[k] > longest_us) longest_us = this.#period_us[k];
    }
    return longest_us;
  }

  /** A bound below all running medians of rows `from` .. `to` − 1: the shortest period about them. */
  shortest(from: number, to: number): number {
    let shortest_us = Number.POSITIVE_INFINITY;
    const last = Math.min(this.size, to + REACH);
    for (let k = Math.max(0, from - REACH); k < last; k++) {
      if (this.#period_us[k] < shortest_us) shortest_us = this.#period_us[k];
    }
    return shortest_us;
  }

  #judgeUpTo(end: number): void {
    for (; this.#next < end; this.#next = Math.min(end, this.#next + CHUNK)) {
      this.#judge(this, this.#next, Math.min(end, this.#next + CHUNK));
    }
  }

  /** Forgets the rows that no window to come reaches back to. */
  #shift(): void {
    const gone = this.#next - REACH;
    for (const column of [this.trailing_us, this.dark_us, this.#period_us])
      column.copyWithin(0, gone, this.size);
    this.size -= gone;
    this.#next = REACH;
  }
}
