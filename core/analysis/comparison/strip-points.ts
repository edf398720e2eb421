/** Which points count for which strip: those whose whole cut lies in it, away from its edges. */
import type { FieldPoints } from '../../result.ts';
import { ringsHold } from '../../track/plane-rings.ts';
import type { TreatmentStrip } from './treatment-strips.ts';

/**
 * Threshing mixes the grain of some seconds of way, about 63 % of it within 4 to 8 m (lag of mixing 2 to 4 s at 2 m/s; see
 * `lag/`): so near to where a pass enters a strip, its grain is of both sides. A choice of ours.
 */
export const END_BUFFER_M = 10;
/** Places along the cutting line that are looked at, and how many of them must lie in the strip. Ours: a header strays by some decimetres. */
const PLACES = 10;
const MOST_OUTSIDE = 1;

export interface StripPoints {
  /** Strip of each point; −1 for those that do not count. */
  readonly strip: Int32Array;
  /** By strip: points in it that do not count, and why. */
  readonly left_out: readonly LeftOut[];
}

export interface LeftOut {
  /** By a rule of screening. */
  screened: number;
  /** Part of the cut lies in another strip. */
  straddling: number;
  /** Part of the cut lies in no strip. */
  over_edge: number;
  near_end: number;
  near_side: number;
}

export interface StripBuffers {
  readonly end_m: number;
  readonly side_m: number;
}

/** `epoch_utc_s` and `machines` are those of the season's result, for strips that are spans of time. */
export function pointsInStrips(
  points: FieldPoints,
  strips: readonly TreatmentStrip[],
  buffers: StripBuffers,
  season: { readonly epoch_utc_s: number; readonly machines: readonly string[] },
): StripPoints {
  const shapes = strips.map(shapeOf);
  const left_out = strips.map(
    (): LeftOut => ({ screened: 0, straddling: 0, over_edge: 0, near_end: 0, near_side: 0 }),
  );
  const strip = new Int32Array(points.t_s.length).fill(-1);
  for (let row = 0; row < strip.length; row++) {
    if (points.pass[row] < 0) continue;
    const found = shapes.some((shape) => shape !== undefined)
      ? stripOfCut(points, row, shapes)
      : { strip: stripOfTime(points, row, strips, season), outside: 0, isShared: false };
    if (found.strip < 0) continue;
    const counts = left_out[found.strip];
    const shape = shapes[found.strip];
    if (points.screened_by[row] !== 0 || !(points.fresh_area_m2[row] > 0) || !(points.yield_kg_m2[row] >= 0))
      counts.screened++;
    else if (found.isShared) counts.straddling++;
    else if (found.outside > MOST_OUTSIDE) counts.over_edge++;
    else if (shape !== undefined && wayToEdge_m(shape, points, row, 'along') < buffers.end_m)
      counts.near_end++;
    else if (
      shape !== undefined &&
      buffers.side_m > 0 &&
      wayToEdge_m(shape, points, row, 'across') - points.cut_width_m[row] / 2 < buffers.side_m
    )
      counts.near_side++;
    else strip[row] = found.strip;
  }
  return { strip, left_out };
}

function stripOfTime(
  { t_s, machine }: FieldPoints,
  row: number,
  strips: readonly TreatmentStrip[],
  { epoch_utc_s, machines }: { readonly epoch_utc_s: number; readonly machines: readonly string[] },
): number {
  const utc_s = epoch_utc_s + t_s[row];
  return strips.findIndex(
    ({ span }) =>
      span !== undefined &&
      utc_s >= span.from_s &&
      utc_s < span.to_s &&
      (span.machine === undefined || span.machine === machines[machine[row]]),
  );
}

interface Shape {
  readonly rings: readonly Float64Array[];
  readonly west_m: number;
  readonly east_m: number;
  readonly south_m: number;
  readonly north_m: number;
}

function shapeOf({ rings }: TreatmentStrip): Shape | undefined {
  if (rings === undefined) return undefined;
  let [west_m, east_m, south_m, north_m] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k += 2) {
      west_m = Math.min(west_m, ring[k]);
      east_m = Math.max(east_m, ring[k]);
      south_m = Math.min(south_m, ring[k + 1]);
      north_m = Math.max(north_m, ring[k + 1]);
    }
  }
  return { rings, west_m, east_m, south_m, north_m };
}

/** The strip that holds most of the cut, how many of its places lie outside it, and whether a second one holds more than may stray. */
function stripOfCut(points: FieldPoints, row: number, shapes: readonly (Shape | undefined)[]) {
  const east_m = points.east_m[row];
  const north_m = points.north_m[row];
  const width_m = points.cut_width_m[row] || 0;
  const heading_rad = points.heading_rad[row];
  const [right_east, right_north] = Number.isFinite(heading_rad)
    ? [Math.cos(heading_rad), -Math.sin(heading_rad)]
    : [0, 0];
  let best = -1;
  let most = 0;
  let second = 0;
  for (let s = 0; s < shapes.length; s++) {
    const shape = shapes[s];
    if (shape === undefined || !isNear(shape, east_m, north_m, width_m / 2)) continue;
    let held = 0;
    for (let k = 0; k < PLACES; k++) {
      const offset_m = ((k + 0.5) / PLACES - 0.5) * width_m;
      if (ringsHold(shape.rings, east_m + offset_m * right_east, north_m + offset_m * right_north)) held++;
    }
    if (held > most) [best, most, second] = [s, held, most];
    else if (held > second) second = held;
  }
  return { strip: best, outside: PLACES - most, isShared: second > MOST_OUTSIDE };
}

function isNear(shape: Shape, east_m: number, north_m: number, reach_m: number): boolean {
  return (
    east_m >= shape.west_m - reach_m &&
    east_m <= shape.east_m + reach_m &&
    north_m >= shape.south_m - reach_m &&
    north_m <= shape.north_m + reach_m
  );
}

/** Shortest way from the middle of the cut to the outline, along or across the heading, whichever way round. Infinite without a heading. */
function wayToEdge_m({ rings }: Shape, points: FieldPoints, row: number, way: 'along' | 'across'): number {
  const heading_rad = points.heading_rad[row] + (way === 'across' ? Math.PI / 2 : 0);
  const [sin, cos] = [Math.sin(heading_rad), Math.cos(heading_rad)];
  const [east_m, north_m] = [points.east_m[row], points.north_m[row]];
  let shortest_m = Number.POSITIVE_INFINITY;
  for (const ring of rings) {
    for (let k = 0; k + 3 < ring.length; k += 2) {
      // beside and ahead of the line through the point
      const beside0 = (ring[k] - east_m) * cos - (ring[k + 1] - north_m) * sin;
      const beside1 = (ring[k + 2] - east_m) * cos - (ring[k + 3] - north_m) * sin;
      if (beside0 > 0 === beside1 > 0) continue;
      const share = beside0 / (beside0 - beside1);
      const ahead0 = (ring[k] - east_m) * sin + (ring[k + 1] - north_m) * cos;
      const ahead1 = (ring[k + 2] - east_m) * sin + (ring[k + 3] - north_m) * cos;
      shortest_m = Math.min(shortest_m, Math.abs(ahead0 + share * (ahead1 - ahead0)));
    }
  }
  return shortest_m;
}
