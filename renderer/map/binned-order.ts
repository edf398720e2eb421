/**
 * Order statistics of a long column without sorting it: numbers are counted into bins once, put there when the
 * first is asked for, and only the bins asked about are sorted. Half a million numbers take a few milliseconds, so that a map may ask on the window's own thread.
 */

const BINS = 4096;

/** Finite numbers of a column, ready to be asked for their order. */
export class BinnedOrder {
  readonly count: number;
  readonly least: number;
  readonly greatest: number;
  readonly #numbers: Float64Array;
  /** How many numbers lie in bins before each; one more entry than bins. */
  readonly #before: Uint32Array;
  /** The numbers bin after bin, once somebody has asked. */
  #placed: Float64Array | undefined;
  /** Bins of `#placed` that are sorted. */
  readonly #sorted = new Set<number>();

  constructor(column: Float64Array) {
    const numbers = new Float64Array(column.length);
    let count = 0;
    let least = Infinity;
    let greatest = -Infinity;
    for (let i = 0; i < column.length; i++) {
      const number = column[i];
      if (!Number.isFinite(number)) continue;
      numbers[count++] = number;
      if (number < least) least = number;
      if (number > greatest) greatest = number;
    }
    this.count = count;
    this.least = least;
    this.greatest = greatest;
    this.#numbers = numbers.subarray(0, count);
    this.#before = new Uint32Array(BINS + 1);
    for (let i = 0; i < count; i++) this.#before[this.#binOf(numbers[i]) + 1]++;
    for (let bin = 0; bin < BINS; bin++) this.#before[bin + 1] += this.#before[bin];
  }

  /** The k-th smallest number, k from 0. Throws RangeError when there is none. */
  at(k: number): number {
    if (!(k >= 0 && k < this.count)) throw new RangeError(`there is no number ${k} among ${this.count}`);
    let low = 0;
    let high = BINS - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#before[middle + 1] > k) high = middle;
      else low = middle + 1;
    }
    return this.#bin(low)[k - this.#before[low]];
  }

  /** Quantile, definition 7 of [HyndmanFan1996]: linear between order statistics at (n − 1)·p; NaN when empty. */
  quantile(p: number): number {
    if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile needs a probability from 0 to 1, not ${p}`);
    if (this.count === 0) return Number.NaN;
    const h = (this.count - 1) * p;
    const low = Math.floor(h);
    const from = this.at(low);
    return low + 1 < this.count ? from + (h - low) * (this.at(low + 1) - from) : from;
  }

  #bin(bin: number): Float64Array {
    this.#placed ??= this.#placedByBin();
    const found = this.#placed.subarray(this.#before[bin], this.#before[bin + 1]);
    if (!this.#sorted.has(bin)) found.sort();
    this.#sorted.add(bin);
    return found;
  }

  #placedByBin(): Float64Array {
    const placed = new Float64Array(this.count);
    const next = this.#before.slice();
    for (let i = 0; i < this.count; i++) placed[next[this.#binOf(this.#numbers[i])]++] = this.#numbers[i];
    return placed;
  }

  #binOf(number: number): number {
    const span = this.greatest - this.least;
    if (!(span > 0)) return 0;
    return Math.min(BINS - 1, Math.floor(((number - this.least) / span) * BINS));
  }
}
