/** Finds rows near a place: a uniform grid over the rows' positions, filled by counting. */
import { emptyBox, grow } from './ground.ts';

/** Rows a cell is made for, on average. */
const ROWS_A_CELL = 4;
const MOST_CELLS_A_SIDE = 2048;

export class PointIndex {
  readonly #xy: Float32Array;
  readonly #cell_m: number;
  readonly #east0: number;
  readonly #north0: number;
  readonly #across: number;
  readonly #up: number;
  /** Where the rows of each cell begin in `#rows`; one more entry than cells. */
  readonly #starts: Uint32Array;
  readonly #rows: Uint32Array;

  /** `xy_m`: east, north, east, north …; rows with NaN are left out. */
  constructor(xy_m: Float32Array) {
    this.#xy = xy_m;
    const rows = xy_m.length / 2;
    const box = emptyBox();
    for (let row = 0; row < rows; row++) {
      if (Number.isFinite(xy_m[2 * row] + xy_m[2 * row + 1])) grow(box, xy_m[2 * row], xy_m[2 * row + 1]);
    }
    const isEmpty = !(box.east1 >= box.east0);
    const wide_m = isEmpty ? 1 : Math.max(box.east1 - box.east0, 1);
    const high_m = isEmpty ? 1 : Math.max(box.north1 - box.north0, 1);
    const wished_m = Math.sqrt((wide_m * high_m * ROWS_A_CELL) / Math.max(rows, 1));
    this.#cell_m = Math.max(wished_m, wide_m / MOST_CELLS_A_SIDE, high_m / MOST_CELLS_A_SIDE);
    this.#east0 = isEmpty ? 0 : box.east0;
    this.#north0 = isEmpty ? 0 : box.north0;
    this.#across = Math.floor(wide_m / this.#cell_m) + 1;
    this.#up = Math.floor(high_m / this.#cell_m) + 1;
    this.#starts = new Uint32Array(this.#across * this.#up + 1);
    this.#rows = this.#fill(rows);
  }

  /** Calls `visit` for every row whose position lies in the box (borders included), in no order. */
  forEachIn(
    east0: number,
    north0: number,
    east1: number,
    north1: number,
    visit: (row: number) => void,
  ): void {
    const left = this.#column(east0);
    const right = this.#column(east1);
    for (let line = this.#line(north0); line <= this.#line(north1); line++) {
      const from = this.#starts[line * this.#across + left];
      const to = this.#starts[line * this.#across + right + 1];
      for (let i = from; i < to; i++) {
        const row = this.#rows[i];
        const east = this.#xy[2 * row];
        const north = this.#xy[2 * row + 1];
        if (east >= east0 && east <= east1 && north >= north0 && north <= north1) visit(row);
      }
    }
  }

  /** The row nearest to a place, not further than `reach_m`; −1 when there is none. */
  nearest(east_m: number, north_m: number, reach_m: number): number {
    let best = -1;
    let least = reach_m ** 2;
    this.forEachIn(east_m - reach_m, north_m - reach_m, east_m + reach_m, north_m + reach_m, (row) => {
      const distance2 = (this.#xy[2 * row] - east_m) ** 2 + (this.#xy[2 * row + 1] - north_m) ** 2;
      if (distance2 < least || (distance2 === least && (best < 0 || row < best))) {
        least = distance2;
        best = row;
      }
    });
    return best;
  }

  #fill(rows: number): Uint32Array {
    const cells = new Int32Array(rows);
    let placed = 0;
    for (let row = 0; row < rows; row++) {
      const east = this.#xy[2 * row];
      const north = this.#xy[2 * row + 1];
      cells[row] = Number.isFinite(east + north) ? this.#line(north) * this.#across + this.#column(east) : -1;
      if (cells[row] < 0) continue;
      this.#starts[cells[row] + 1]++;
      placed++;
    }
    for (let cell = 1; cell < this.#starts.length; cell++) this.#starts[cell] += this.#starts[cell - 1];
    const next = this.#starts.slice();
    const ordered = new Uint32Array(placed);
    for (let row = 0; row < rows; row++) if (cells[row] >= 0) ordered[next[cells[row]]++] = row;
    return ordered;
  }

  #column(east_m: number): number {
    return Math.min(Math.max(Math.floor((east_m - this.#east0) / this.#cell_m), 0), this.#across - 1);
  }

  #line(north_m: number): number {
    return Math.min(Math.max(Math.floor((north_m - this.#north0) / this.#cell_m), 0), this.#up - 1);
  }
}
