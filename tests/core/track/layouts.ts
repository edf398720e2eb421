/** Fields as sets of true strips, driven one after the other by one machine or two, and their area by a fine raster. */

export type Point = readonly [east_m: number, north_m: number];

/** One strip: the way of the header's middle with the header down, a point every half metre or so. */
export interface Strip {
  readonly machine: number;
  readonly points: readonly Point[];
}

export interface Layout {
  readonly name: string;
  readonly width_m: number;
  readonly strips: readonly Strip[];
}

const STEP_M = 0.5;
const WIDTH_M = 9;

function line(from: Point, to: Point): Point[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const steps = Math.max(1, Math.round(length / STEP_M));
  return Array.from(
    { length: steps + 1 },
    (_, k): Point => [from[0] + ((to[0] - from[0]) * k) / steps, from[1] + ((to[1] - from[1]) * k) / steps],
  );
}

const rotated = (points: readonly Point[], angle: number): Point[] =>
  points.map(
    ([e, n]): Point => [e * Math.cos(angle) - n * Math.sin(angle), e * Math.sin(angle) + n * Math.cos(angle)],
  );

/** Every other strip is driven back. */
function serpentine(lines: readonly Point[][], machines: number): Strip[] {
  return lines.map((points, k) => ({
    machine: k % machines,
    points: Math.floor(k / machines) % 2 === 1 ? points.toReversed() : points,
  }));
}

function straight(count: number, length_m: number, overlap_m: number, machines: number): Strip[] {
  const lines = Array.from({ length: count }, (_, k) => {
    const east = k * (WIDTH_M - overlap_m);
    return rotated(line([east, 3 * Math.sin(k)], [east, length_m + 2 * Math.cos(3 * k)]), 0.3);
  });
  return serpentine(lines, machines);
}

function narrowLast(): Strip[] {
  const strips = straight(14, 160, 0.2, 1);
  const last = rotated(line([13 * 8.8 + 3.7, 0], [13 * 8.8 + 3.7, 160]), 0.3);
  return [...strips, { machine: 0, points: last }];
}

function contour(): Strip[] {
  const lines = Array.from({ length: 16 }, (_, k) =>
    Array.from({ length: 481 }, (_, j): Point => {
      const along = j * STEP_M;
      const slope = ((2 * Math.PI) / 240) * 8 * Math.cos((2 * Math.PI * along) / 240);
      const off = k * (WIDTH_M - 0.2);
      const norm = Math.hypot(1, slope);
      return [8 * Math.sin((2 * Math.PI * along) / 240) + off / norm, along - (off * slope) / norm];
    }),
  );
  return serpentine(lines, 1);
}

type Field = readonly Point[];
const QUADRILATERAL: Field = [
  [0, 0],
  [190, 25],
  [170, 180],
  [-20, 150],
];

/** Signed distance inside a convex anticlockwise field, positive within. */
function within(field: Field, [e, n]: Point): number {
  return Math.min(
    ...field.map(([e0, n0], i) => {
      const [e1, n1] = field[(i + 1) % field.length];
      return ((e1 - e0) * (n - n0) - (n1 - n0) * (e - e0)) / Math.hypot(e1 - e0, n1 - n0);
    }),
  );
}

function pointRows(): Strip[] {
  const strips: Strip[] = [];
  const step = WIDTH_M - 0.25;
  for (let lap = 0; lap < 2; lap++) {
    QUADRILATERAL.forEach(([e0, n0], i) => {
      const [e1, n1] = QUADRILATERAL[(i + 1) % 4];
      const length = Math.hypot(e1 - e0, n1 - n0);
      const [u, v] = [(e1 - e0) / length, (n1 - n0) / length];
      const inset = lap * step + WIDTH_M / 2;
      const at = (along: number): Point => [e0 + along * u - inset * v, n0 + along * v + inset * u];
      // as far into the corner as the header's outer end stays inside the field
      const reach = (along: number) => within(QUADRILATERAL, [at(along)[0], at(along)[1]]) >= 0;
      let from = 0;
      let to = length;
      while (!reach(from)) from += STEP_M;
      while (!reach(to)) to -= STEP_M;
      strips.push({ machine: 0, points: line(at(from), at(to)) });
    });
  }
  strips.push(...interior((point) => within(QUADRILATERAL, point) > 2 * step, 0.4));
  return strips;
}

/** Parallel strips over all that `isCrop`, each from 1 m before its header first meets crop to 1 m after. */
function interior(isCrop: (point: Point) => boolean, angle: number): Strip[] {
  const lines: Point[][] = [];
  for (let off = -120; off < 260; off += WIDTH_M - 0.25) {
    const all = rotated(line([off, -250], [off, 300]), angle);
    const meets = all.map(([e, n]) =>
      [-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1].some((s) =>
        isCrop([e + (s * WIDTH_M * Math.cos(angle)) / 2, n + (s * WIDTH_M * Math.sin(angle)) / 2]),
      ),
    );
    for (let k = 0; k < all.length; k++) {
      if (!meets[k]) continue;
      let end = k;
      while (end + 1 < all.length && meets.slice(end + 1, end + 16).includes(true)) end++;
      lines.push(all.slice(Math.max(0, k - 2), end + 3));
      k = end;
    }
  }
  return serpentine(lines, 1);
}

function island(): Strip[] {
  const step = WIDTH_M - 0.25;
  const laps = [0, 1].map((lap): Strip => {
    const radius = 18 + WIDTH_M / 2 + lap * step;
    const points = Math.round((2 * Math.PI * radius) / STEP_M);
    return {
      machine: 0,
      points: Array.from(
        { length: points + 1 },
        (_, k): Point => [
          radius * Math.sin((2 * Math.PI * k) / points),
          radius * Math.cos((2 * Math.PI * k) / points),
        ],
      ),
    };
  });
  const isCrop = ([e, n]: Point) => Math.abs(e) < 75 && Math.abs(n) < 75 && Math.hypot(e, n) > 18 + 2 * step;
  return [...laps, ...interior(isCrop, 0.17)];
}

function crossed(): Strip[] {
  return [{ machine: 0, points: line([-30, 20], [140, 110]) }, ...straight(14, 160, 0.15, 1)];
}

/** Area of the union of all strips, m², on a raster of 0.1 m: independent of everything in `core`. */
export function rasterArea(layout: Layout): number {
  const CELL = 0.1;
  const quads = layout.strips.flatMap(({ points }) => stripQuads(points, layout.width_m));
  const easts = quads.flat().map(([e]) => e);
  const norths = quads.flat().map(([, n]) => n);
  const west = easts.reduce((a, b) => Math.min(a, b)) - 1;
  const south = norths.reduce((a, b) => Math.min(a, b)) - 1;
  const cols = Math.ceil((easts.reduce((a, b) => Math.max(a, b)) - west) / CELL) + 1;
  const rows = Math.ceil((norths.reduce((a, b) => Math.max(a, b)) - south) / CELL) + 1;
  const covered = new Uint8Array(cols * rows);
  for (const quad of quads) {
    const least = Math.floor((Math.min(...quad.map(([, n]) => n)) - south) / CELL);
    const most = Math.ceil((Math.max(...quad.map(([, n]) => n)) - south) / CELL);
    for (let row = least; row <= most; row++) {
      const north = south + (row + 0.5) * CELL;
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      quad.forEach(([e0, n0], i) => {
        const [e1, n1] = quad[(i + 1) % 4];
        if (n0 > north === n1 > north) return;
        const e = e0 + ((north - n0) * (e1 - e0)) / (n1 - n0);
        low = Math.min(low, e);
        high = Math.max(high, e);
      });
      if (low > high) continue;
      covered.fill(
        1,
        row * cols + Math.ceil((low - west) / CELL - 0.5),
        row * cols + Math.ceil((high - west) / CELL - 0.5),
      );
    }
  }
  return covered.reduce((sum, cell) => sum + cell, 0) * CELL * CELL;
}

export function headingsAlong(points: readonly Point[]): number[] {
  return points.map((_, k) => {
    const a = points[Math.max(0, k - 1)];
    const b = points[Math.min(points.length - 1, k + 1)];
    return Math.atan2(b[0] - a[0], b[1] - a[1]);
  });
}

function stripQuads(points: readonly Point[], width_m: number): Point[][] {
  const headings = headingsAlong(points);
  const end = (k: number, side: number): Point => [
    points[k][0] + (side * width_m * Math.cos(headings[k])) / 2,
    points[k][1] - (side * width_m * Math.sin(headings[k])) / 2,
  ];
  return points.slice(1).map((_, k) => [end(k, -1), end(k, 1), end(k + 1, 1), end(k + 1, -1)]);
}

export const LAYOUTS: readonly Layout[] = [
  { name: 'straight passes', width_m: WIDTH_M, strips: straight(20, 160, 0.15, 1) },
  { name: 'straight passes without overlap', width_m: WIDTH_M, strips: straight(20, 160, 0, 1) },
  { name: 'straight passes, much overlap', width_m: WIDTH_M, strips: straight(20, 160, 0.6, 1) },
  { name: 'two machines alternating', width_m: WIDTH_M, strips: straight(20, 160, 0.15, 2) },
  { name: 'a narrow last pass', width_m: WIDTH_M, strips: narrowLast() },
  { name: 'contour passes', width_m: WIDTH_M, strips: contour() },
  { name: 'headland laps and point rows', width_m: WIDTH_M, strips: pointRows() },
  { name: 'an island', width_m: WIDTH_M, strips: island() },
  { name: 'passes across an earlier one', width_m: WIDTH_M, strips: crossed() },
];
