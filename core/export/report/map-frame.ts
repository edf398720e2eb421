/** Metres of a field → picture points of its map. */
import type { FieldPoints } from '../../result.ts';

/** North is up, a metre is the same length both ways. */
export interface MapFrame {
  readonly width: number;
  readonly height: number;
  readonly points_per_m: number;
  readonly x: (east_m: number) => number;
  readonly y: (north_m: number) => number;
}

/** Size of a map in CSS pixels (points of its viewBox), and the strip below it for scale bar and north arrow. */
const SIZE = { width: 780, least_height: 220, most_height: 640, margin: 22, foot: 40 };

/** An outline that is larger than the ground cut by more than this is not shown whole: it would shrink the map. */
const MOST_TIMES_GROUND = 2;

/** The frame that holds all ground cut in the field, and its outline; `undefined` when no ground has a position. */
export function mapFrame(points: FieldPoints, outline: readonly Float64Array[] = []): MapFrame | undefined {
  const box = mapBox(points, outline);
  if (!box) return undefined;
  const east_span_m = Math.max(box.east1 - box.east0, 1);
  const north_span_m = Math.max(box.north1 - box.north0, 1);
  const free_width = SIZE.width - 2 * SIZE.margin;
  const free_height = SIZE.most_height - SIZE.margin - SIZE.foot;
  const points_per_m = Math.min(free_width / east_span_m, free_height / north_span_m);
  const height = Math.max(
    SIZE.least_height,
    Math.round(north_span_m * points_per_m) + SIZE.margin + SIZE.foot,
  );
  const left = (SIZE.width - east_span_m * points_per_m) / 2;
  const top = (height + SIZE.margin - SIZE.foot - north_span_m * points_per_m) / 2;
  return {
    width: SIZE.width,
    height,
    points_per_m,
    x: (east_m) => left + (east_m - box.east0) * points_per_m,
    y: (north_m) => top + (box.north1 - north_m) * points_per_m,
  };
}

/** What a map of the field has to hold, in its plane; `undefined` when no ground has a position. */
export function mapBox(points: FieldPoints, outline: readonly Float64Array[] = []): PlaneBox | undefined {
  const ground = groundBox(points);
  return ground && withOutline(ground, outline);
}

/** From west to east and from south to north, m. */
export interface PlaneBox {
  readonly east0: number;
  readonly east1: number;
  readonly north0: number;
  readonly north1: number;
}

interface Box {
  east0: number;
  east1: number;
  north0: number;
  north1: number;
}

function withOutline(ground: Box, outline: readonly Float64Array[]): Box {
  const box = { ...ground };
  for (const ring of outline) {
    for (let k = 0; k + 1 < ring.length; k += 2) {
      box.east0 = Math.min(box.east0, ring[k]);
      box.east1 = Math.max(box.east1, ring[k]);
      box.north0 = Math.min(box.north0, ring[k + 1]);
      box.north1 = Math.max(box.north1, ring[k + 1]);
    }
  }
  const times = Math.max(
    (box.east1 - box.east0) / Math.max(ground.east1 - ground.east0, 1),
    (box.north1 - box.north0) / Math.max(ground.north1 - ground.north0, 1),
  );
  return times <= MOST_TIMES_GROUND ? box : ground;
}

/** Extent of the ground cut, swath widths included; kept points where there are any, lest a stray fix shrink the map. */
function groundBox(points: FieldPoints): Box | undefined {
  const anyKept = points.screened_by.includes(0);
  const box = { east0: Infinity, east1: -Infinity, north0: Infinity, north1: -Infinity };
  for (let row = 0; row < points.t_s.length; row++) {
    if (anyKept ? points.screened_by[row] !== 0 : !(points.cut_width_m[row] > 0)) continue;
    const east_m = points.east_m[row];
    const north_m = points.north_m[row];
    if (!Number.isFinite(east_m) || !Number.isFinite(north_m)) continue;
    const reach_m = Math.max(points.cut_width_m[row], points.distance_m[row], 0) / 2 || 0;
    box.east0 = Math.min(box.east0, east_m - reach_m);
    box.east1 = Math.max(box.east1, east_m + reach_m);
    box.north0 = Math.min(box.north0, north_m - reach_m);
    box.north1 = Math.max(box.north1, north_m + reach_m);
  }
  return box.east1 >= box.east0 ? box : undefined;
}
