/**
 * Borders of patches as lines: corners of cells, moved a little so that stairs become slopes. Corners are moved, not lines, so
 * that two zones always share the very same border.
 */
import type { CellGrid } from './cell-grid.ts';

/**
 * A corner moves by no more than this share of a cell. Below √2/4 = 0.3536 no two borders can touch that did not before: sides
 * without a common corner are a cell apart, so that lines within less than half of one of them never meet; and two sides
 * that leave a corner at a right angle point √2 apart, so that changing each direction by 2 · 0.35 < √2/2 keeps them apart.
 */
export const MOST_SHARE = 0.35;

const ROUNDS = 20;
const STEP = 0.5;

/** Corner `row · (columns + 1) + column`, row 0 the southernmost: where it lies now, m. */
export interface ZoneCorners {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  /** 1 where more than two lines meet. */
  readonly isNode: Uint8Array;
}

/**
 * Corners smoothed along their lines: each goes towards the middle of its two neighbours, again and again, but never further
 * than `tolerance_m` from where it was. Fixed are corners at which more than two lines meet, and all at the surface's edge, so
 * that the zones together cover exactly the cells.
 */
export function smoothedCorners(grid: CellGrid, patchOf: Int32Array, tolerance_m: number): ZoneCorners {
  const across = grid.columns + 1;
  const corners = across * (grid.rows + 1);
  const east = Float64Array.from({ length: corners }, (_, corner) => corner % across);
  const north = Float64Array.from({ length: corners }, (_, corner) => Math.floor(corner / across));
  const share = Math.min(Math.max(tolerance_m / grid.cell_m, 0), MOST_SHARE);
  if (share > 0) relax(movableCorners(grid, patchOf), east, north, across, share);
  return {
    east_m: east.map((column) => grid.west_m + column * grid.cell_m),
    north_m: north.map((row) => grid.south_m + row * grid.cell_m),
    isNode: nodes(grid, patchOf),
  };
}

function nodes(grid: CellGrid, patchOf: Int32Array): Uint8Array {
  const { columns, rows } = grid;
  const isNode = new Uint8Array((columns + 1) * (rows + 1));
  const at = (column: number, row: number) =>
    column >= 0 && column < columns && row >= 0 && row < rows ? patchOf[row * columns + column] : -1;
  for (let row = 0; row <= rows; row++) {
    for (let column = 0; column <= columns; column++) {
      const around = [at(column, row), at(column - 1, row), at(column - 1, row - 1), at(column, row - 1)];
      const lines = around.filter((patch, k) => patch !== around[(k + 1) % 4]).length;
      if (lines > 2) isNode[row * (columns + 1) + column] = 1;
    }
  }
  return isNode;
}

/** Three numbers each: the corner and its two neighbours along its line. */
function movableCorners(grid: CellGrid, patchOf: Int32Array): Int32Array {
  const { columns, rows } = grid;
  const across = columns + 1;
  const found: number[] = [];
  for (let row = 1; row < rows; row++) {
    for (let column = 1; column < columns; column++) {
      const northEast = row * columns + column;
      const ne = patchOf[northEast];
      const nw = patchOf[northEast - 1];
      const se = patchOf[northEast - columns];
      const sw = patchOf[northEast - columns - 1];
      if (ne < 0 || nw < 0 || se < 0 || sw < 0) continue;
      const lines = Number(nw !== ne) + Number(ne !== se) + Number(se !== sw) + Number(sw !== nw);
      if (lines !== 2) continue;
      const corner = row * across + column;
      found.push(corner);
      if (nw !== ne) found.push(corner + across);
      if (ne !== se) found.push(corner + 1);
      if (se !== sw) found.push(corner - across);
      if (sw !== nw) found.push(corner - 1);
    }
  }
  return Int32Array.from(found);
}

function relax(
  movable: Int32Array,
  east: Float64Array,
  north: Float64Array,
  across: number,
  share: number,
): void {
  const count = movable.length / 3;
  const nextEast = new Float64Array(count);
  const nextNorth = new Float64Array(count);
  for (let round = 0; round < ROUNDS; round++) {
    for (let k = 0; k < count; k++) {
      const [corner, a, b] = [movable[3 * k], movable[3 * k + 1], movable[3 * k + 2]];
      const column = corner % across;
      const row = (corner - column) / across;
      const dx = east[corner] + STEP * ((east[a] + east[b]) / 2 - east[corner]) - column;
      const dy = north[corner] + STEP * ((north[a] + north[b]) / 2 - north[corner]) - row;
      const shrink = Math.min(1, share / Math.sqrt(dx * dx + dy * dy));
      nextEast[k] = column + (shrink < 1 ? dx * shrink : dx);
      nextNorth[k] = row + (shrink < 1 ? dy * shrink : dy);
    }
    for (let k = 0; k < count; k++) {
      east[movable[3 * k]] = nextEast[k];
      north[movable[3 * k]] = nextNorth[k];
    }
  }
}

/** Directions along a cell's sides with the cell on the left: its south side eastwards, and on counter-clockwise. */
const STEP_COLUMN = [1, 0, -1, 0];
const STEP_ROW = [0, 1, 0, -1];
/** Corner of the cell at which its side begins. */
const CORNER_COLUMN = [0, 1, 1, 0];
const CORNER_ROW = [0, 0, 1, 1];

/**
 * Rings of every patch as corners, the patch on the left: outer rings counter-clockwise, holes clockwise. Where two cells of a
 * patch touch at a corner only, the ring turns right, so that a hole may touch the outer ring but no ring touches itself.
 */
export function patchRings(grid: CellGrid, patchOf: Int32Array, patches: number): number[][][] {
  const { columns, rows } = grid;
  const rings: number[][][] = Array.from({ length: patches }, () => []);
  const isDone = new Uint8Array(patchOf.length);
  const at = (column: number, row: number) =>
    column >= 0 && column < columns && row >= 0 && row < rows ? patchOf[row * columns + column] : -1;
  const trace = (startColumn: number, startRow: number, startSide: number, patch: number): number[] => {
    const ring: number[] = [];
    let [column, row, side] = [startColumn, startRow, startSide];
    do {
      isDone[row * columns + column] |= 1 << side;
      ring.push((row + CORNER_ROW[side]) * (columns + 1) + column + CORNER_COLUMN[side]);
      const [aheadColumn, aheadRow] = [column + STEP_COLUMN[side], row + STEP_ROW[side]];
      const right = (side + 3) % 4;
      const [rightColumn, rightRow] = [aheadColumn + STEP_COLUMN[right], aheadRow + STEP_ROW[right]];
      if (at(rightColumn, rightRow) === patch) [column, row, side] = [rightColumn, rightRow, right];
      else if (at(aheadColumn, aheadRow) === patch) [column, row] = [aheadColumn, aheadRow];
      else side = (side + 1) % 4;
    } while (column !== startColumn || row !== startRow || side !== startSide);
    return ring;
  };
  for (let cell = 0; cell < patchOf.length; cell++) {
    const patch = patchOf[cell];
    if (patch < 0) continue;
    const column = cell % columns;
    const row = (cell - column) / columns;
    for (let side = 0; side < 4; side++) {
      const right = (side + 3) % 4;
      if ((isDone[cell] >> side) & 1 || at(column + STEP_COLUMN[right], row + STEP_ROW[right]) === patch)
        continue;
      rings[patch].push(trace(column, row, side, patch));
    }
  }
  return rings;
}
