/**
 * Structure-of-arrays columns.
 *
 * Conventions everywhere in the core: `Float64Array` columns of equal length; NaN means absent; every name ends
 * in its unit; times are seconds from the season's epoch (`t_s`), positions metres from a field's origin; points
 * are never deleted: functions return masks, indices or new columns.
 */

/** Longest piece of a growing column. */
const MOST_PIECE = 1 << 15;

/** Growable Float64 column, for readers that do not know their length beforehand; in pieces, so that growing copies nothing. */
export class Float64Builder {
  #pieces: Float64Array[] = [];
  #piece: Float64Array;
  /** Elements in the piece at hand, and before it. */
  #filled = 0;
  #before = 0;

  constructor(initialCapacity = 1024) {
    this.#piece = new Float64Array(initialCapacity);
  }

  get length(): number {
    return this.#before + this.#filled;
  }

  push(value: number): void {
    if (this.#filled === this.#piece.length) this.#nextPiece();
    this.#piece[this.#filled++] = value;
  }

  /** The last value pushed; NaN when empty. */
  last(): number {
    return this.#filled > 0 ? this.#piece[this.#filled - 1] : Number.NaN;
  }

  /** A column of exact length. The builder is empty afterwards, so that its memory is free. */
  toColumn(): Float64Array {
    const column = new Float64Array(this.length);
    let at = 0;
    for (const piece of this.#pieces) {
      column.set(piece, at);
      at += piece.length;
    }
    column.set(this.#piece.subarray(0, this.#filled), at);
    this.#pieces = [];
    this.#piece = new Float64Array(1);
    this.#filled = 0;
    this.#before = 0;
    return column;
  }

  #nextPiece(): void {
    this.#pieces.push(this.#piece);
    this.#before += this.#filled;
    this.#piece = new Float64Array(Math.min(2 * this.#piece.length, MOST_PIECE));
    this.#filled = 0;
  }
}

/** Index of the first element of ascending `sorted` that is > `key` (its length when none is). */
export function upperBound(sorted: Float64Array, key: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle] <= key) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Index of the first element of ascending `sorted` that is >= `key` (its length when none is). */
export function lowerBound(sorted: Float64Array, key: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle] < key) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Linear interpolation of (x ascending, y) at `at`; outside the range the end value is held; NaN when empty. */
export function interpolate(x: Float64Array, y: Float64Array, at: number): number {
  const n = x.length;
  if (n === 0) return Number.NaN;
  if (at <= x[0]) return y[0];
  if (at >= x[n - 1]) return y[n - 1];
  const right = upperBound(x, at);
  const left = right - 1;
  const span = x[right] - x[left];
  return span > 0 ? y[left] + ((y[right] - y[left]) * (at - x[left])) / span : y[right];
}

/** `interpolate` for many places: it goes on from where it was, which is next door when places ascend. */
export class Interpolation {
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  /** Index of the first x beyond the last place asked for. */
  #right = 0;

  constructor(x: Float64Array, y: Float64Array) {
    this.#x = x;
    this.#y = y;
  }

  at(place: number): number {
    const x = this.#x;
    const y = this.#y;
    const n = x.length;
    if (n === 0) return Number.NaN;
    if (place <= x[0]) return y[0];
    if (place >= x[n - 1]) return y[n - 1];
    let right = this.#right;
    if (right < n && x[right] <= place) {
      const near = Math.min(n - 1, right + NEXT_DOOR);
      if (x[near] <= place) right = upperBound(x, place);
      else
        do right++;
        while (x[right] <= place);
    } else if (right > 0 && !(x[right - 1] <= place)) {
      right = upperBound(x, place);
    }
    this.#right = right;
    const left = right - 1;
    const span = x[right] - x[left];
    return span > 0 ? y[left] + ((y[right] - y[left]) * (place - x[left])) / span : y[right];
  }
}

/** Further on than this, bisection is quicker than going there. */
const NEXT_DOOR = 64;

/** All columns one after the other; a single one is handed on as it is. */
export function concatenate(columns: readonly Float64Array[]): Float64Array {
  if (columns.length === 1) return columns[0];
  let length = 0;
  for (const column of columns) length += column.length;
  const joined = new Float64Array(length);
  let at = 0;
  for (const column of columns) {
    joined.set(column, at);
    at += column.length;
  }
  return joined;
}

/** Rows whose key is known and greater than all before: where two sources tell of the same time, the first one counts. */
export function ascendingRows(key: Float64Array): Int32Array {
  const rows = new Int32Array(key.length);
  let count = 0;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < key.length; i++) {
    if (!(key[i] > greatest)) continue;
    greatest = key[i];
    rows[count++] = i;
  }
  return count === rows.length ? rows : rows.slice(0, count);
}

/** The chosen rows of a column, a new column. */
export function pickRows<Column extends Float64Array | Int32Array | Uint8Array>(
  column: Column,
  rows: Int32Array,
): Column {
  const picked = new (column.constructor as new (length: number) => Column)(rows.length);
  for (let k = 0; k < rows.length; k++) picked[k] = column[rows[k]];
  return picked;
}

/** A column of which every element is made from its row; `Float64Array.from` would take fifty times as long about it. */
export function columnOf(rows: number, of: (row: number) => number): Float64Array {
  const column = new Float64Array(rows);
  for (let row = 0; row < rows; row++) column[row] = of(row);
  return column;
}

/** Sum of all elements, one after the other. */
export function sumOf(column: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < column.length; i++) sum += column[i];
  return sum;
}

/**
 * √(x² + y²), ten times as fast as `Math.hypot`, which guards against overflow: for metres, seconds and kilograms, whose
 * squares are far from any limit.
 */
export function lengthOf(x: number, y: number): number {
  return Math.sqrt(x * x + y * y);
}

/** A number as JSON can hold it: null where it is NaN or infinite. */
export function finiteOrNull(x: number): number | null {
  return Number.isFinite(x) ? x : null;
}
