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
    // points that follow one another mostly lie in one cell, which then need not be looked up
    let before = Number.NaN;
    let cell = 0;
    for (let i = 0; i < cellOf.length; i++) {
      const key = this.#key(Math.floor(east_m[i] / side_m), Math.floor(north_m[i] / side_m));
      if (key !== before) {
        const known = this.#cells.get(key);
        cell = known ?? counts.length;
        if (known === undefined) {
          this.#cells.set(key, cell);
          counts.push(0);
        }
        before = key;
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

  /** How many cells hold any points; they are numbered from 0. */
  get cellCount(): number {
    return this.#starts.length - 1;
  }

  /** The points of a cell, ascending. */
  pointsOf(cell: number): Int32Array {
    return this.#points.subarray(this.#starts[cell], this.#starts[cell + 1]);
  }

  countOf(cell: number): number {
    return this.#starts[cell + 1] - this.#starts[cell];
  }

  /** Calls `visit` with every point in the cell of the place and in the eight around it. */
  near(east_m: number, north_m: number, visit: (point: number) => void): void {
    this.nearCells(east_m, north_m, (cell) => {
      for (let k = this.#starts[cell]; k < this.#starts[cell + 1]; k++) visit(this.#points[k]);
    });
  }

  /** Calls `visit` with the cell of the place and the eight around it, those that hold any points. */
  nearCells(east_m: number, north_m: number, visit: (cell: number) => void): void {
    const col = Math.floor(east_m / this.#side_m);
    const row = Math.floor(north_m / this.#side_m);
    for (let c = col - 1; c <= col + 1; c++) {
      for (let r = row - 1; r <= row + 1; r++) {
        const cell = this.#cells.get(this.#key(c, r));
        if (cell !== undefined) visit(cell);
      }
    }
  }

  #key(col: number, row: number): number {
    return (col + 32_768) * 65_536 + row + 32_768;
  }
}
