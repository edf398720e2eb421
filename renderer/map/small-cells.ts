/** Mean yields of kept points in the cells of a coarse grid, as a small picture needs them. */
import { groundOf } from './ground.ts';
import type { FieldColumns } from './types.ts';

export interface CellYields {
  readonly across: number;
  readonly up: number;
  /** Rows from north to south; NaN where nothing was kept. */
  readonly yield_kg_m2: Float64Array;
}

/** Narrower cells would leave gaps between swaths. */
const LEAST_CELL_M = 6;
/** Points that are looked at; of more, every n-th. */
const MOST_ROWS = 60_000;

/** A grid that fits `box`; `undefined` when no point has a place. */
export function cellYields(
  columns: FieldColumns,
  box: { readonly width: number; readonly height: number },
): CellYields | undefined {
  const ground = groundOf(columns);
  if (!ground) return undefined;
  const { east0, east1, north0, north1 } = ground.box;
  const [wide_m, high_m] = [Math.max(east1 - east0, 1), Math.max(north1 - north0, 1)];
  const cell_m = Math.max(wide_m / box.width, high_m / box.height, usualWidth_m(columns), LEAST_CELL_M);
  const across = Math.ceil(wide_m / cell_m);
  const up = Math.ceil(high_m / cell_m);
  const sums = new Float64Array(across * up);
  const counts = new Uint32Array(across * up);
  const every = Math.ceil(ground.rows / MOST_ROWS);
  for (let row = 0; row < ground.rows; row += every) {
    const yield_kg_m2 = columns.yield_kg_m2[row];
    if (columns.screened_by[row] !== 0 || !Number.isFinite(yield_kg_m2)) continue;
    const column = placeIn((ground.xy_m[2 * row] - east0) / cell_m, across);
    const line = placeIn((north1 - ground.xy_m[2 * row + 1]) / cell_m, up);
    if (!(column >= 0 && line >= 0)) continue;
    sums[line * across + column] += yield_kg_m2;
    counts[line * across + column]++;
  }
  return {
    across,
    up,
    yield_kg_m2: sums.map((sum, cell) => (counts[cell] > 0 ? sum / counts[cell] : Number.NaN)),
  };
}

/** Points on the edge of the box may lie a rounding beyond it. */
function placeIn(cells: number, count: number): number {
  return Math.min(Math.max(Math.floor(cells), 0), count - 1);
}

/** A cut width that the field was cut with: the largest of the first rows. */
function usualWidth_m({ cut_width_m }: FieldColumns): number {
  let most_m = 0;
  for (const width_m of cut_width_m.subarray(0, 2000)) if (width_m > most_m) most_m = width_m;
  return most_m;
}
