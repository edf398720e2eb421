/** Which row lies under a place of the map. */
import type { Ground } from './ground.ts';
import type { PointIndex } from './point-index.ts';
import type { FieldColumns } from './types.ts';

/** Half sides of swaths that a place can lie in, m: wider than any header. */
const MOST_REACH_M = 30;

/**
 * The row whose swath is drawn on top at a place (the earliest, as it is drawn last); where there is none, the row whose
 * middle is nearest within `reach_m`; −1 when there is none either.
 */
export function rowAt(
  columns: FieldColumns,
  ground: Ground,
  index: PointIndex,
  place: { readonly east_m: number; readonly north_m: number; readonly reach_m: number },
): number {
  const { east_m, north_m, reach_m } = place;
  let top = -1;
  index.forEachIn(
    east_m - MOST_REACH_M,
    north_m - MOST_REACH_M,
    east_m + MOST_REACH_M,
    north_m + MOST_REACH_M,
    (row) => {
      if ((top < 0 || row < top) && isInSwath(columns, ground, row, east_m, north_m)) top = row;
    },
  );
  return top >= 0 ? top : index.nearest(east_m, north_m, reach_m);
}

/** Corners of a row's swath: east, north, … in the order of going round; empty when it has none. */
export function swathCorners(columns: FieldColumns, ground: Ground, row: number): number[] {
  const half_length_m = columns.distance_m[row] / 2;
  const half_width_m = columns.cut_width_m[row] / 2;
  const heading_rad = columns.heading_rad[row];
  if (!(half_length_m > 0 && half_width_m > 0) || Number.isNaN(heading_rad)) return [];
  const sin = Math.sin(heading_rad);
  const cos = Math.cos(heading_rad);
  return [
    [1, 1],
    [1, -1],
    [-1, -1],
    [-1, 1],
  ].flatMap(([along, right]) => [
    ground.xy_m[2 * row] + along * half_length_m * sin + right * half_width_m * cos,
    ground.xy_m[2 * row + 1] + along * half_length_m * cos - right * half_width_m * sin,
  ]);
}

function isInSwath(
  columns: FieldColumns,
  ground: Ground,
  row: number,
  east_m: number,
  north_m: number,
): boolean {
  const sin = Math.sin(columns.heading_rad[row]);
  const cos = Math.cos(columns.heading_rad[row]);
  const east = east_m - ground.xy_m[2 * row];
  const north = north_m - ground.xy_m[2 * row + 1];
  return (
    Math.abs(east * sin + north * cos) <= columns.distance_m[row] / 2 &&
    Math.abs(east * cos - north * sin) <= columns.cut_width_m[row] / 2
  );
}
