/** Where the rows of a field lie: metres in the field's own frame, as 32-bit floats, and what of each row can be drawn. */
import { type LocalFrame, localFrame, metresFromLonLat } from './local-frame.ts';
import { atOnce, STEP_ROWS } from './pause.ts';
import type { FieldColumns } from './types.ts';

export interface Box {
  east0: number;
  east1: number;
  north0: number;
  north1: number;
}

export interface Ground {
  readonly frame: LocalFrame;
  readonly rows: number;
  /** Middle of each swath: east, north, east, north …, m; NaN without a position. */
  readonly xy_m: Float32Array;
  /** What the map is fitted to: kept points where there are any, lest a stray fix shrink the map. */
  readonly box: Box;
}

/** The rows' places; `undefined` when none has one. */
export function groundOf(columns: FieldColumns): Ground | undefined {
  return atOnce(groundSteps(columns));
}

/** The same, in steps between which the window can breathe. */
export function* groundSteps(columns: FieldColumns): Generator<void, Ground | undefined> {
  const { longitude_deg, latitude_deg } = columns;
  const rows = longitude_deg.length;
  const middle = yield* middleSteps(columns);
  if (!middle) return undefined;
  const frame = localFrame(...middle);
  const xy_m = new Float32Array(2 * rows);
  const kept = emptyBox();
  const all = emptyBox();
  for (let row = 0; row < rows; row++) {
    if (row % STEP_ROWS === 0) yield;
    const [east_m, north_m] = metresFromLonLat(frame, longitude_deg[row], latitude_deg[row]);
    xy_m[2 * row] = east_m;
    xy_m[2 * row + 1] = north_m;
    if (!Number.isFinite(east_m + north_m)) continue;
    grow(all, east_m, north_m);
    if (columns.screened_by[row] === 0) grow(kept, east_m, north_m);
  }
  const box = kept.east1 >= kept.east0 ? kept : all;
  return { frame, rows, xy_m, box };
}

function* middleSteps({
  longitude_deg,
  latitude_deg,
  screened_by,
}: FieldColumns): Generator<void, [number, number] | undefined> {
  const box = emptyBox();
  const kept = emptyBox();
  for (let row = 0; row < longitude_deg.length; row++) {
    if (row % STEP_ROWS === 0) yield;
    if (!Number.isFinite(longitude_deg[row] + latitude_deg[row])) continue;
    grow(box, longitude_deg[row], latitude_deg[row]);
    if (screened_by[row] === 0) grow(kept, longitude_deg[row], latitude_deg[row]);
  }
  const of = kept.east1 >= kept.east0 ? kept : box;
  if (!(of.east1 >= of.east0)) return undefined;
  return [(of.east0 + of.east1) / 2, (of.north0 + of.north1) / 2];
}

export function emptyBox(): Box {
  return { east0: Infinity, east1: -Infinity, north0: Infinity, north1: -Infinity };
}

export function grow(box: Box, east: number, north: number): void {
  if (east < box.east0) box.east0 = east;
  if (east > box.east1) box.east1 = east;
  if (north < box.north0) box.north0 = north;
  if (north > box.north1) box.north1 = north;
}
