/**
 * Where the pieces of ribbon lie: a grid of small cells kept in blocks, so that memory grows with the ground touched
 * and not with the box around it. Each piece is entered once, by its middle.
 */
import type { Ribbons } from './ribbons.ts';

const CELL_M = 5;
/** A block is 16 × 16 cells. */
const BLOCK_BITS = 4;
const BLOCK_SIDE = 1 << BLOCK_BITS;
const BLOCK_CELLS = BLOCK_SIDE * BLOCK_SIDE;
/** Block coordinates are put together into one number; fields reach ±2²⁰ blocks at the most. */
const KEY_SPAN = 2 ** 21;
const KEY_HALF = 2 ** 20;

export class RibbonIndex {
  readonly #blocks = new Map<number, number>();
  /** Pieces of cell c are `#pieces[#starts[c] .. #starts[c + 1]]`, ascending. */
  readonly #starts: Int32Array;
  readonly #pieces: Int32Array;
  #found = new Int32Array(256);

  constructor(ribbons: Ribbons) {
    const { count, east_m, north_m } = ribbons;
    const cells = new Int32Array(count);
    for (let p = 0; p < count; p++) {
      const col = Math.floor(east_m[p] / CELL_M);
      const row = Math.floor(north_m[p] / CELL_M);
      const key = blockKey(col >> BLOCK_BITS, row >> BLOCK_BITS);
      let block = this.#blocks.get(key);
      if (block === undefined) {
        block = this.#blocks.size;
        this.#blocks.set(key, block);
      }
      cells[p] = block * BLOCK_CELLS + cellWithin(col, row);
    }
    this.#starts = new Int32Array(this.#blocks.size * BLOCK_CELLS + 1);
    for (let p = 0; p < count; p++) this.#starts[cells[p] + 1]++;
    for (let c = 1; c < this.#starts.length; c++) this.#starts[c] += this.#starts[c - 1];
    this.#pieces = new Int32Array(count);
    const next = this.#starts.slice();
    for (let p = 0; p < count; p++) this.#pieces[next[cells[p]]++] = p;
  }

  /** Pieces whose middle lies in the box or close to it; valid until the next call. */
  near(west_m: number, south_m: number, east_m: number, north_m: number): Int32Array {
    const col0 = Math.floor(west_m / CELL_M);
    const col1 = Math.floor(east_m / CELL_M);
    const row0 = Math.floor(south_m / CELL_M);
    const row1 = Math.floor(north_m / CELL_M);
    let count = 0;
    for (let by = row0 >> BLOCK_BITS; by <= row1 >> BLOCK_BITS; by++) {
      for (let bx = col0 >> BLOCK_BITS; bx <= col1 >> BLOCK_BITS; bx++) {
        const block = this.#blocks.get(blockKey(bx, by));
        if (block === undefined) continue;
        const c0 = Math.max(col0, bx << BLOCK_BITS);
        const c1 = Math.min(col1, (bx << BLOCK_BITS) + BLOCK_SIDE - 1);
        const r0 = Math.max(row0, by << BLOCK_BITS);
        const r1 = Math.min(row1, (by << BLOCK_BITS) + BLOCK_SIDE - 1);
        for (let row = r0; row <= r1; row++) {
          // cells of one row lie next to each other, and so do their pieces
          const cell = block * BLOCK_CELLS + cellWithin(c0, row);
          const from = this.#starts[cell];
          const to = this.#starts[cell + c1 - c0 + 1];
          if (count + to - from > this.#found.length) this.#grow(count + to - from);
          for (let k = from; k < to; k++) this.#found[count++] = this.#pieces[k];
        }
      }
    }
    return this.#found.subarray(0, count);
  }

  #grow(least: number): void {
    const found = new Int32Array(2 * least);
    found.set(this.#found);
    this.#found = found;
  }
}

function blockKey(bx: number, by: number): number {
  return (bx + KEY_HALF) * KEY_SPAN + by + KEY_HALF;
}

function cellWithin(col: number, row: number): number {
  return (row & (BLOCK_SIDE - 1)) * BLOCK_SIDE + (col & (BLOCK_SIDE - 1));
}
