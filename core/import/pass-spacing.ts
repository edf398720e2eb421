/** The distance between neighbouring passes: what a header takes less what overlaps, from positions alone. */
import { halfSampleMode } from '../stats/half-sample-mode.ts';
import { median } from '../stats/quantiles.ts';
import { type LocalFrame, localFrame } from '../track/local-frame.ts';

/** Rows of a way: Unix seconds, degrees, and whether the machine harvested there. */
export interface SpacedRows {
  readonly utc_s: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly harvesting: (i: number) => boolean;
}

export interface PassSpacing {
  readonly spacing_m: number;
  /** Rows that had a neighbour. */
  readonly pairs: number;
}

/** Headers in use cut 1 to 20 m. */
const NARROWEST_M = 1;
const WIDEST_M = 20;
/** Neighbours of another pass were there so much earlier or later. */
const APART_S = 25;
/** Passes side by side run parallel to within this. */
const PARALLEL = Math.sin((8 * Math.PI) / 180);
/** Rows that look for a neighbour; more do not sharpen the mode. */
const ASKING_ROWS = 3000;
/** More of a machine's way does not sharpen the mode either. */
const MOST_ROWS = 40_000;
/** Passes of another machine beside those of this one are driven on the same days, s. */
const WHILE_S = 86_400;
/** A row further along its pass than this is another place, m. */
const ALONG_M = 4;
const FEWEST_PAIRS = 60;

interface PlacedRow {
  readonly t_s: number;
  readonly east_m: number;
  readonly north_m: number;
  readonly sin: number;
  readonly cos: number;
}

/**
 * The mode of the distances from rows to the nearest pass on either side, `others` being the ways of other machines, whose
 * passes may lie between. Undefined when too few rows lie beside another pass.
 */
export function passSpacing(rows: SpacedRows, others: readonly SpacedRows[] = []): PassSpacing | undefined {
  const longitude0 = median(rows.longitude_deg.subarray(0, MOST_ROWS));
  const latitude0 = median(rows.latitude_deg.subarray(0, MOST_ROWS));
  if (!(Math.abs(longitude0) <= 360 && Math.abs(latitude0) <= 89)) return undefined;
  const frame = localFrame(longitude0, latitude0);
  const placed = placedRows(rows, frame);
  if (placed.length < 2) return undefined;
  const span = [placed[0].t_s - WHILE_S, placed[placed.length - 1].t_s + WHILE_S];
  const around = [...placed, ...others.flatMap((other) => placedRows(other, frame, span))];
  const cells = new Map<number, PlacedRow[]>();
  for (const row of around) {
    const key = cellKey(row.east_m, row.north_m);
    const cell = cells.get(key);
    if (cell === undefined) cells.set(key, [row]);
    else cell.push(row);
  }
  const step = Math.max(1, Math.floor(placed.length / ASKING_ROWS));
  const across_m: number[] = [];
  for (let i = 0; i < placed.length; i += step) across_m.push(...nearestPasses(placed[i], cells));
  if (across_m.length < FEWEST_PAIRS) return undefined;
  return { spacing_m: halfSampleMode(across_m), pairs: across_m.length };
}

/**
 * Mean distance to the nearest parallel pass on the left and on the right: an antenna beside the machine's middle makes one
 * of them wide and the other narrow. Empty where one is missing.
 */
function nearestPasses(row: PlacedRow, cells: ReadonlyMap<number, readonly PlacedRow[]>): number[] {
  let left = Number.POSITIVE_INFINITY;
  let right = Number.POSITIVE_INFINITY;
  for (let de = -1; de <= 1; de++) {
    for (let dn = -1; dn <= 1; dn++) {
      const cell = cells.get(cellKey(row.east_m + de * WIDEST_M, row.north_m + dn * WIDEST_M)) ?? [];
      for (const other of cell) {
        if (Math.abs(other.t_s - row.t_s) < APART_S) continue;
        if (Math.abs(other.sin * row.cos - other.cos * row.sin) > PARALLEL) continue;
        const east = other.east_m - row.east_m;
        const north = other.north_m - row.north_m;
        if (Math.abs(east * row.sin + north * row.cos) > ALONG_M) continue;
        const across = east * row.cos - north * row.sin;
        if (across >= NARROWEST_M && across < right) right = across;
        if (-across >= NARROWEST_M && -across < left) left = -across;
      }
    }
  }
  return left <= WIDEST_M && right <= WIDEST_M ? [(left + right) / 2] : [];
}

/** Rows that harvest and move, in metres, with the direction in which they move; the first ones, or the first in a span of time. */
function placedRows(
  { utc_s, longitude_deg, latitude_deg, harvesting }: SpacedRows,
  frame: LocalFrame,
  [from_s, to_s]: readonly number[] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY],
): PlacedRow[] {
  const placed: PlacedRow[] = [];
  let east0 = Number.NaN;
  let north0 = Number.NaN;
  for (let i = 0; i < utc_s.length && placed.length < MOST_ROWS; i++) {
    if (!(utc_s[i] >= from_s && utc_s[i] <= to_s)) continue;
    const plane = frame.toPlane([longitude_deg[i]], [latitude_deg[i]]);
    const [east_m, north_m] = [plane.east_m[0], plane.north_m[0]];
    const way_m = Math.hypot(east_m - east0, north_m - north0);
    const [sin, cos] = [(east_m - east0) / way_m, (north_m - north0) / way_m];
    east0 = east_m;
    north0 = north_m;
    if (!harvesting(i) || !(way_m > 1 && way_m < 60) || !(utc_s[i] - utc_s[i - 1] < 20)) continue;
    placed.push({ t_s: utc_s[i], east_m, north_m, sin, cos });
  }
  return placed;
}

/** Cell of `WIDEST_M` as one number: columns and rows stay within ±2^20. */
function cellKey(east_m: number, north_m: number): number {
  return (Math.floor(east_m / WIDEST_M) + 2 ** 20) * 2 ** 21 + Math.floor(north_m / WIDEST_M) + 2 ** 20;
}
