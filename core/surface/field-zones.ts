/** Yield zones of a field's surface. */
import type { CellGrid } from './cell-grid.ts';
import { classesOf, classLimits } from './classes.ts';
import type { SurfaceSheet } from './surface-sheet.ts';
import { type Zone, zonesOf } from './zones.ts';

export interface YieldZone extends Zone {
  /** Mean of its cells at standard moisture. */
  readonly mean_yield_kg_m2: number;
}

export interface YieldZones {
  /** Inner limits of the classes, ascending. */
  readonly limits_kg_m2: readonly number[];
  readonly zones: readonly YieldZone[];
  readonly tolerance_m: number;
  /** Patches that were too small for a zone of their own. */
  readonly merged: number;
}

/**
 * Classes and zones of the surface whose `cells` (of `grid`) have these yields; cells of NaN are in no zone. Limits that
 * `user` lacks make one class. Throws RangeError when the columns differ in length.
 */
export function yieldZones(
  grid: CellGrid,
  cells: Int32Array,
  yield_kg_m2: Float64Array,
  sheet: Pick<SurfaceSheet, 'classes' | 'zones'> = {},
): YieldZones {
  if (cells.length !== yield_kg_m2.length)
    throw new RangeError(`${cells.length} cells have ${yield_kg_m2.length} yields`);
  const { method = 'natural', count, limits_kg_m2: limits } = sheet.classes ?? {};
  const limits_kg_m2 = classLimits(yield_kg_m2, { method, count, limits });
  const classes = classesOf(yield_kg_m2, limits_kg_m2);
  const classOfCell = new Int32Array(grid.columns * grid.rows).fill(-1);
  for (let k = 0; k < cells.length; k++) classOfCell[cells[k]] = classes[k];
  const { zones, zoneOf, merged, tolerance_m } = zonesOf(grid, classOfCell, sheet.zones);
  const sums = new Float64Array(zones.length);
  for (let k = 0; k < cells.length; k++) {
    const zone = zoneOf[cells[k]];
    if (zone >= 0) sums[zone] += yield_kg_m2[k];
  }
  return {
    limits_kg_m2,
    zones: zones.map((zone, z) => ({ ...zone, mean_yield_kg_m2: sums[z] / zone.cells })),
    tolerance_m,
    merged,
  };
}
