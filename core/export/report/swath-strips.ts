/**
 * Swaths as filled outlines: neighbouring intervals of one pass and one class are joined to a strip, so that a field
 * of tens of thousands of points stays a small picture.
 */
import type { FieldPoints } from '../../result.ts';
import type { MapFrame } from './map-frame.ts';

/** Stretches shorter than this on the map are drawn together with the next, at their common yield. */
const LEAST_LENGTH_POINTS = 2;
/** A bend or a change of width below these leaves the outline straight. */
const STRAIGHT = { heading_rad: 0.02, width_m: 0.1 };
/** Rows of one pass that are further apart in time than this many intervals do not touch. */
const MOST_GAP_INTERVALS = 1.6;

/** One outline of the map. */
export interface DrawnStrip {
  /** When it was cut, s: earlier strips are drawn over later ones, as later swaths overlap ground already cut. */
  readonly t_s: number;
  readonly index: number;
  /** SVG path data. */
  readonly path: string;
}

/** How swaths become strips. */
export interface StripChoices {
  /** Class of a stretch from its mean yield, kg/m²; −1 leaves it out. */
  readonly classOfMean: (yield_kg_m2: number) => number;
  readonly isDrawn: (row: number) => boolean;
  /** How wide a row is drawn. */
  readonly widthOf: (row: number) => number;
}

/** The strips of a field's swaths, in no order; the yield of a stretch is the mean by area. */
export function swathStrips(points: FieldPoints, frame: MapFrame, choices: StripChoices): DrawnStrip[] {
  const strips: DrawnStrip[] = [];
  for (const rows of rowsByMachine(points)) {
    let strip: Strip | undefined;
    for (const stretch of stretches(points, frame, rows, choices.isDrawn)) {
      const index = choices.classOfMean(stretch.yield_kg_m2);
      if (index >= 0 && strip?.index === index && stretch.continues) extend(strip, points, stretch, choices);
      else {
        if (strip) strips.push(drawn(strip, frame));
        strip = index < 0 ? undefined : begin(index, points, stretch, choices);
      }
    }
    if (strip) strips.push(drawn(strip, frame));
  }
  return strips;
}

/** Rows that are drawn as one: consecutive, of one pass. */
interface Stretch {
  readonly rows: readonly number[];
  readonly yield_kg_m2: number;
  /** Whether it begins where the one before it ends. */
  readonly continues: boolean;
}

interface Strip {
  readonly t_s: number;
  readonly index: number;
  readonly left: [east_m: number, north_m: number][];
  readonly right: [east_m: number, north_m: number][];
  heading_rad: number;
  width_m: number;
}

function rowsByMachine(points: FieldPoints): number[][] {
  const rows = new Map<number, number[]>();
  for (const [row, machine] of points.machine.entries()) {
    const list = rows.get(machine);
    if (list) list.push(row);
    else rows.set(machine, [row]);
  }
  return [...rows.values()];
}

function* stretches(
  points: FieldPoints,
  frame: MapFrame,
  rows: readonly number[],
  isDrawn: (row: number) => boolean,
): Generator<Stretch> {
  let waiting: number[] = [];
  let continues = false;
  let last = -1;
  for (const row of rows) {
    if (!isDrawn(row) || !hasOutline(points, row)) continue;
    const touches = last >= 0 && follows(points, last, row);
    if (!touches && waiting.length > 0) yield stretchOf(points, waiting, continues);
    if (!touches) {
      waiting = [];
      continues = false;
    }
    waiting.push(row);
    last = row;
    if (lengthOf(points, waiting) * frame.points_per_m >= LEAST_LENGTH_POINTS) {
      yield stretchOf(points, waiting, continues);
      waiting = [];
      continues = true;
    }
  }
  if (waiting.length > 0) yield stretchOf(points, waiting, continues);
}

function hasOutline(points: FieldPoints, row: number): boolean {
  return (
    points.cut_width_m[row] > 0 &&
    points.distance_m[row] > 0 &&
    Number.isFinite(points.east_m[row] + points.north_m[row] + points.heading_rad[row])
  );
}

function follows(points: FieldPoints, before: number, row: number): boolean {
  const gap_s = points.t_s[row] - points.t_s[before];
  const interval_s = (points.duration_s[before] + points.duration_s[row]) / 2;
  return points.pass[row] === points.pass[before] && gap_s <= MOST_GAP_INTERVALS * interval_s;
}

function lengthOf(points: FieldPoints, rows: readonly number[]): number {
  let length_m = 0;
  for (const row of rows) length_m += points.distance_m[row];
  return length_m;
}

function stretchOf(points: FieldPoints, rows: readonly number[], continues: boolean): Stretch {
  let mass = 0;
  let area = 0;
  for (const row of rows) {
    if (!Number.isFinite(points.yield_kg_m2[row])) continue;
    const ground_m2 = points.cut_width_m[row] * points.distance_m[row];
    mass += points.yield_kg_m2[row] * ground_m2;
    area += ground_m2;
  }
  return { rows, yield_kg_m2: area > 0 ? mass / area : Number.NaN, continues };
}

function begin(index: number, points: FieldPoints, stretch: Stretch, choices: StripChoices): Strip {
  const first = stretch.rows[0];
  const unknown = Number.NaN;
  const strip: Strip = {
    t_s: points.t_s[first],
    index,
    left: [],
    right: [],
    heading_rad: unknown,
    width_m: unknown,
  };
  addEdge(strip, points, first, -0.5, choices);
  extend(strip, points, stretch, choices);
  return strip;
}

/** Moves the far end of the strip to the end of the stretch, with a corner where it bends or changes width. */
function extend(strip: Strip, points: FieldPoints, stretch: Stretch, choices: StripChoices): void {
  for (const row of stretch.rows) {
    const width_m = choices.widthOf(row);
    const isStraight =
      Math.abs(points.heading_rad[row] - strip.heading_rad) < STRAIGHT.heading_rad &&
      Math.abs(width_m - strip.width_m) < STRAIGHT.width_m;
    if (isStraight) {
      strip.left.pop();
      strip.right.pop();
    } else {
      strip.heading_rad = points.heading_rad[row];
      strip.width_m = width_m;
    }
    addEdge(strip, points, row, 0.5, choices);
  }
}

/** The line across the swath at `along` intervals from its middle. Heading is clockwise from north. */
function addEdge(strip: Strip, points: FieldPoints, row: number, along: number, choices: StripChoices): void {
  const heading_rad = points.heading_rad[row];
  const ahead_m = along * points.distance_m[row];
  const half_m = choices.widthOf(row) / 2;
  const east_m = points.east_m[row] + ahead_m * Math.sin(heading_rad);
  const north_m = points.north_m[row] + ahead_m * Math.cos(heading_rad);
  const right_east_m = half_m * Math.cos(heading_rad);
  const right_north_m = -half_m * Math.sin(heading_rad);
  strip.left.push([east_m - right_east_m, north_m - right_north_m]);
  strip.right.push([east_m + right_east_m, north_m + right_north_m]);
}

function drawn(strip: Strip, frame: MapFrame): DrawnStrip {
  const corners = [...strip.left, ...strip.right.reverse()].map(
    ([east_m, north_m]) => `${short(frame.x(east_m))} ${short(frame.y(north_m))}`,
  );
  return { t_s: strip.t_s, index: strip.index, path: `M${corners.join(' ')}z` };
}

/** A tenth of a picture point is finer than any screen shows. */
function short(coordinate: number): string {
  const text = coordinate.toFixed(1);
  return text.endsWith('.0') ? text.slice(0, -2) : text;
}
