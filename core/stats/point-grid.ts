/** Points of a plane by the square cell that they lie in, to find those near a place. */
export class PointGrid {
  readonly #side_m: number;
  /** Number of each cell that holds any point. */
  readonly #cells = new Map<number, number>();
  /** Points of cell c are `#points[#starts[c] .. #starts[c + 1]]`, ascending. */
  readonly #starts: Int32Array;
  readonly #points: Int32Array;

  /** Cells are `side_m` wide. Points without a place are in no one's neighbourhood. */
  constructor(east_m: Float64Array, north_m: Float64Array, side_m: number) {
    this.#side_m = side_m;
    const cellOf = new Int32Array(east_m.length);
    const counts: number[] = [];
    for (let i = 0; i < cellOf.length; i++) {
      const key = this.#key(Math.floor(east_m[i] / side_m), Math.floor(north_m[i] / side_m));
      let cell = this.#cells.get(key);
      if (cell === undefined) {
        cell = counts.length;
        this.#cells.set(key, cell);
        counts.push(0);
      }
      cellOf[i] = cell;
      counts[cell]++;
    }
    this.#starts = new Int32Array(counts.length + 1);
    for (let c = 0; c < counts.length; c++) this.#starts[c + 1] = this.#starts[c] + counts[c];
    this.#points = new Int32Array(cellOf.length);
    const next = this.#starts.slice();
    for (let i = 0; i < cellOf.length; i++) this.#points[next[cellOf[i]]++] = i;
  }

  /** Calls `visit` with every point in the cell of the place and in the eight around it. */
  near(east_m: number, north_m: number, visit: (point: number) => void): void {
    const col = Math.floor(east_m / this.#side_m);
    const row = Math.floor(north_m / this.#side_m);
    for (let c = col - 1; c <= col + 1; c++) {
      for (let r = row - 1; r <= row + 1; r++) {
        const cell = this.#cells.get(this.#key(c, r));
        if (cell === undefined) continue;
        for (let k = this.#starts[cell]; k < this.#starts[cell + 1]; k++) visit(this.#points[k]);
      }
    }
  }

  /** The points of each cell that holds any. */
  *cells(): Generator<Int32Array> {
    for (let c = 0; c + 1 < this.#starts.length; c++)
      yield this.#points.subarray(this.#starts[c], this.#starts[c + 1]);
  }

  #key(col: number, row: number): number {
    return (col + 32_768) * 65_536 + row + 32_768;
  }
}
