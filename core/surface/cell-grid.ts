/** Square cells over a field, in its plane. */
import type { LocalFrame } from '../track/local-frame.ts';
import type { SurfaceCorners } from './surface-details.ts';

/** Cell `row · columns + column`; row 0 is the southernmost, column 0 the westernmost. */
export interface CellGrid {
  readonly west_m: number;
  readonly south_m: number;
  readonly cell_m: number;
  readonly columns: number;
  readonly rows: number;
}

/** A surface of more cells is refused: nobody can look at it, and it takes the room of a season. */
export const MOST_CELLS = 4_000_000;

/**
 * The grid that covers all places, its lines on whole multiples of the cell, so that seasons of one field fall on the same
 * cells. Throws RangeError when there is no place, or for a cell that is too small for them.
 */
export function gridOver(east_m: ArrayLike<number>, north_m: ArrayLike<number>, cell_m: number): CellGrid {
  if (!(cell_m > 0)) throw new RangeError(`a cell needs a side above zero, not ${cell_m}`);
  let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < east_m.length; i++) {
    if (!Number.isFinite(east_m[i] + north_m[i])) continue;
    west = Math.min(west, east_m[i]);
    east = Math.max(east, east_m[i]);
    south = Math.min(south, north_m[i]);
    north = Math.max(north, north_m[i]);
  }
  if (!(east >= west)) throw new RangeError('a grid needs one place or more');
  const [firstColumn, firstRow] = [Math.floor(west / cell_m), Math.floor(south / cell_m)];
  const columns = Math.floor(east / cell_m) - firstColumn + 1;
  const rows = Math.floor(north / cell_m) - firstRow + 1;
  if (columns * rows > MOST_CELLS)
    throw new RangeError(`cells of ${cell_m} m make ${columns * rows}, more than ${MOST_CELLS}`);
  return { west_m: firstColumn * cell_m, south_m: firstRow * cell_m, cell_m, columns, rows };
}

/** Of the whole grid: south-west, south-east, north-east, north-west. */
export function gridCorners(
  frame: LocalFrame,
  { west_m, south_m, cell_m, columns, rows }: CellGrid,
): SurfaceCorners {
  const east_m = west_m + columns * cell_m;
  const north_m = south_m + rows * cell_m;
  const found = frame.toGeographic([west_m, east_m, east_m, west_m], [south_m, south_m, north_m, north_m]);
  const corner = (k: number) => [found.longitude_deg[k], found.latitude_deg[k]] as const;
  return [corner(0), corner(1), corner(2), corner(3)];
}

export function cellEast_m(grid: CellGrid, cell: number): number {
  return grid.west_m + ((cell % grid.columns) + 0.5) * grid.cell_m;
}

export function cellNorth_m(grid: CellGrid, cell: number): number {
  return grid.south_m + (Math.floor(cell / grid.columns) + 0.5) * grid.cell_m;
}

/** The cell that a place lies in; −1 outside and for NaN. */
export function cellAt(grid: CellGrid, east_m: number, north_m: number): number {
  const column = Math.floor((east_m - grid.west_m) / grid.cell_m);
  const row = Math.floor((north_m - grid.south_m) / grid.cell_m);
  if (!(column >= 0 && column < grid.columns && row >= 0 && row < grid.rows)) return -1;
  return row * grid.columns + column;
}

/** Cells whose middle lies inside the rings (interleaved east, north), by the even-odd rule; ascending. */
export function cellsInside(grid: CellGrid, rings: readonly Float64Array[]): Int32Array {
  const crossings: number[][] = Array.from({ length: grid.rows }, () => []);
  for (const ring of rings) {
    const n = ring.length / 2;
    for (let a = n - 1, b = 0; b < n; a = b++)
      addCrossings(grid, crossings, ring[2 * a], ring[2 * a + 1], ring[2 * b], ring[2 * b + 1]);
  }
  const cells: number[] = [];
  crossings.forEach((easts, row) => {
    easts.sort((a, b) => a - b);
    for (let k = 0; k + 1 < easts.length; k += 2) {
      const from = Math.max(0, Math.ceil((easts[k] - grid.west_m) / grid.cell_m - 0.5));
      const to = Math.min(grid.columns - 1, Math.ceil((easts[k + 1] - grid.west_m) / grid.cell_m - 0.5) - 1);
      for (let column = from; column <= to; column++) cells.push(row * grid.columns + column);
    }
  });
  return Int32Array.from(cells);
}

/** Where an edge crosses the middle lines of the rows. */
function addCrossings(
  grid: CellGrid,
  crossings: readonly number[][],
  east0_m: number,
  north0_m: number,
  east1_m: number,
  north1_m: number,
): void {
  const [low, high] = north0_m < north1_m ? [north0_m, north1_m] : [north1_m, north0_m];
  const first = Math.max(0, Math.ceil((low - grid.south_m) / grid.cell_m - 0.5));
  const last = Math.min(grid.rows, Math.ceil((high - grid.south_m) / grid.cell_m - 0.5));
  for (let row = first; row < last; row++) {
    const north_m = grid.south_m + (row + 0.5) * grid.cell_m;
    crossings[row].push(east0_m + ((north_m - north0_m) * (east1_m - east0_m)) / (north1_m - north0_m));
  }
}
