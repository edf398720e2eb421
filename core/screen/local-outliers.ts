/**
 * Yields that the ground around them does not bear out. Every point is compared with the median of the medians of its
 * square cell and the eight around it, so that a whole stretch of one pass that is wrong is seen by the passes beside it;
 * how much a point may differ is told by the robust spread of all such differences in the field. Median-based like
 * [Maldaner2022], over several passes like [Leroux2018]; cells instead of a circle about each point make it linear in the
 * number of points.
 */

import { pickRows } from '../columns.ts';
import { PointGrid } from '../stats/point-grid.ts';
import { MAD_TO_SD, median, medianInPlace } from '../stats/quantiles.ts';

/** Cells smaller than this hold no neighbours, m. */
const LEAST_CELL_M = 0.5;
/** A median of fewer says nothing. */
const LEAST_NEIGHBOURS = 8;

export interface LocalOutlierOptions {
  /** Side of a cell, m. */
  readonly cell_m: number;
  /** Robust standard deviations of the field's local differences that a point may lie away. */
  readonly deviations_max: number;
}

/**
 * 1 where the yield is a local outlier, among the points given (`rows`, those not screened yet). Points with few
 * neighbours are not judged, nor is a field whose local differences have no spread. A yield that does not exist is none.
 */
export function localOutliers(
  points: {
    readonly east_m: Float64Array;
    readonly north_m: Float64Array;
    readonly yield_kg_m2: Float64Array;
  },
  rows: Int32Array,
  { cell_m, deviations_max }: LocalOutlierOptions,
): Uint8Array {
  const outlying = new Uint8Array(points.yield_kg_m2.length);
  if (!(cell_m >= LEAST_CELL_M)) return outlying;
  const difference = localDifferences(points, rows, cell_m);
  const reach = deviations_max * MAD_TO_SD * median(difference.map((kg_m2) => Math.abs(kg_m2)));
  if (!(reach > 0)) return outlying;
  for (let k = 0; k < rows.length; k++) if (Math.abs(difference[k]) > reach) outlying[rows[k]] = 1;
  return outlying;
}

/** Yield less the median of the medians of the cells around, for each of `rows`; NaN where that cannot be said. */
function localDifferences(
  { east_m, north_m, yield_kg_m2 }: Parameters<typeof localOutliers>[0],
  rows: Int32Array,
  cell_m: number,
): Float64Array {
  const east = pickRows(east_m, rows);
  const north = pickRows(north_m, rows);
  const amount = pickRows(yield_kg_m2, rows);
  const difference = new Float64Array(rows.length).fill(Number.NaN);
  const grid = new PointGrid(east, north, cell_m);
  const middle = cellMedians(grid, amount);
  const around = new Float64Array(9);
  for (let cell = 0; cell < middle.length; cell++) {
    const points = grid.pointsOf(cell);
    let count = 0;
    let neighbours = 0;
    grid.nearCells(east[points[0]], north[points[0]], (near) => {
      if (!Number.isNaN(middle[near])) around[count++] = middle[near];
      neighbours += grid.countOf(near);
    });
    if (neighbours < LEAST_NEIGHBOURS) continue;
    const centre = medianInPlace(around.subarray(0, count));
    for (let i = 0; i < points.length; i++) difference[points[i]] = amount[points[i]] - centre;
  }
  return difference;
}

/** Median of what stands in each cell; NaN where none of it is a number. */
function cellMedians(grid: PointGrid, amount: Float64Array): Float64Array {
  const middle = new Float64Array(grid.cellCount);
  let scratch = new Float64Array(64);
  for (let cell = 0; cell < middle.length; cell++) {
    const points = grid.pointsOf(cell);
    if (points.length > scratch.length) scratch = new Float64Array(2 * points.length);
    let count = 0;
    for (let i = 0; i < points.length; i++)
      if (Number.isFinite(amount[points[i]])) scratch[count++] = amount[points[i]];
    middle[cell] = medianInPlace(scratch.subarray(0, count));
  }
  return middle;
}
