/**
 * Where the passes of a field lie: headland laps, one pass along each side of the field, then straight or contour
 * passes over what is left, from the first contact of any part of the header with crop to the last.
 */
import { distanceToEdge_m, isInside } from './polygon.ts';
import type { Corner, FieldSpec } from './scene-spec.ts';

const ALONG_M = 0.5;
/** Points across the header that are tried for crop. */
const ACROSS = 17;
/** Shorter spells without crop are driven through with the header down. */
const LEAST_GAP_M = 15;
const SHORTEST_PASS_M = 4;
/** Lines run on this far beyond the field, for leads and turns. */
const RUN_ON_M = 60;

/** The middle of the header, point by point, and the stretches of it (point indices) that meet crop. */
export interface PlannedLine {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly stretches: readonly (readonly [number, number])[];
}

/** All lines of a field in the order in which they are to be driven. */
export interface PassPlanLines {
  /** One entry a lap, one line a side. */
  readonly laps: readonly (readonly PlannedLine[])[];
  readonly lines: readonly PlannedLine[];
}

type IsCrop = (east_m: number, north_m: number) => boolean;

/** Lines for a header of `width_m` in the field of anticlockwise `corners`. */
export function planLines(field: FieldSpec, corners: readonly Corner[], width_m: number): PassPlanLines {
  const { passes } = field;
  const spacing = width_m - passes.overlap_m;
  const laps: PlannedLine[][] = [];
  for (let lap = 0; lap < passes.headland_laps; lap++) laps.push(lapLines(field, corners, width_m, lap));
  const inner_m = passes.headland_laps > 0 ? passes.headland_laps * spacing - passes.overhang_m : 0;
  return { laps, lines: interiorLines(field, corners, width_m, cropWithin(corners, inner_m)) };
}

/** True for ground that the outer `edge_m` of the headland has not taken. */
function cropWithin(corners: readonly Corner[], edge_m: number): IsCrop {
  return (east_m, north_m) =>
    isInside(corners, east_m, north_m) &&
    (edge_m <= 0 || distanceToEdge_m(corners, east_m, north_m) >= edge_m);
}

function lapLines(field: FieldSpec, corners: readonly Corner[], width_m: number, lap: number): PlannedLine[] {
  const spacing = width_m - field.passes.overlap_m;
  const outer_m = lap * spacing - field.passes.overhang_m;
  const inset_m = outer_m + width_m / 2;
  const isCrop = cropWithin(corners, outer_m);
  const lines: PlannedLine[] = [];
  for (let i = 0; i < corners.length; i++) {
    const before = corners[(i + corners.length - 1) % corners.length];
    const [e1, n1] = corners[i];
    const [e2, n2] = corners[(i + 1) % corners.length];
    const after = corners[(i + 2) % corners.length];
    const side_m = Math.hypot(e2 - e1, n2 - n1);
    const u = [(e2 - e1) / side_m, (n2 - n1) / side_m];
    const reach = outer_m + width_m;
    const start = -reachAtCorner(before, corners[i], corners[(i + 1) % corners.length], reach);
    const end = side_m + reachAtCorner(corners[i], corners[(i + 1) % corners.length], after, reach);
    const count = Math.ceil((side_m + 2 * RUN_ON_M + 2 * reach) / ALONG_M) + 1;
    const east = new Float64Array(count);
    const north = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const along = -RUN_ON_M - reach + k * ALONG_M;
      east[k] = e1 + along * u[0] - inset_m * u[1];
      north[k] = n1 + along * u[1] + inset_m * u[0];
    }
    const offset = RUN_ON_M + reach;
    const from = Math.max(0, Math.floor((start + offset) / ALONG_M));
    const to = Math.min(count - 1, Math.ceil((end + offset) / ALONG_M));
    lines.push(withStretches(east, north, width_m, isCrop, from, to));
  }
  return lines;
}

/** How far the swath along a side runs on past its corner: out of the field, or round a corner that points inward. */
function reachAtCorner(before: Corner, at: Corner, after: Corner, reach_m: number): number {
  const inTheta = Math.atan2(at[1] - before[1], at[0] - before[0]);
  const outTheta = Math.atan2(after[1] - at[1], after[0] - at[0]);
  const full = 2 * Math.PI;
  const turn = ((((outTheta - inTheta) % full) + full + Math.PI) % full) - Math.PI;
  // Anticlockwise corners: a right turn (negative) points inward and is covered from both sides.
  return turn < 0 ? reach_m * Math.tan(Math.min(1.2, -turn / 2)) + 1 : reach_m;
}

function interiorLines(
  field: FieldSpec,
  corners: readonly Corner[],
  width_m: number,
  isCrop: IsCrop,
): PlannedLine[] {
  const { passes } = field;
  const guide = guideLine(field, corners);
  const [least, greatest] = spanAcross(guide, isCrop);
  const spacing = width_m - passes.overlap_m;
  const lines: PlannedLine[] = [];
  const reachedBefore = passes.headland_laps > 0 ? passes.overlap_m : passes.overhang_m;
  for (let edge = least - reachedBefore; edge < greatest - 0.02; edge += spacing) {
    const { east, north } = guide.offsetBy(edge + width_m / 2);
    const line = withStretches(east, north, width_m, isCrop, 0, east.length - 1);
    if (line.stretches.length > 0) lines.push(line);
  }
  return lines;
}

interface GuideLine {
  readonly halfSpan_m: number;
  /** The parallel curve at a signed distance, to the right of travel. */
  offsetBy(distance_m: number): { east: Float64Array; north: Float64Array };
}

function guideLine(field: FieldSpec, corners: readonly Corner[]): GuideLine {
  const { pattern, heading_deg, bend_m, bend_length_m } = field.passes;
  const heading = (heading_deg * Math.PI) / 180;
  const u = [Math.sin(heading), Math.cos(heading)];
  const right = [u[1], -u[0]];
  const middle = [0, 1].map((axis) => {
    const ordinates = corners.map((corner) => corner[axis]);
    return (Math.min(...ordinates) + Math.max(...ordinates)) / 2;
  });
  const halfSpan_m = Math.max(...corners.map(([e, n]) => Math.hypot(e - middle[0], n - middle[1])));
  const swing = pattern === 'contour' ? bend_m : 0;
  const wave = (2 * Math.PI) / bend_length_m;
  const tightest = 1 / (Math.abs(swing) * wave * wave);
  if (tightest < 1.1 * halfSpan_m) {
    throw new RangeError(
      `the guide line bends to ${tightest.toFixed(0)} m, tighter than 1.1 × the half width of field "${field.name}" (${halfSpan_m.toFixed(0)} m)`,
    );
  }
  const count = Math.ceil((2 * (halfSpan_m + RUN_ON_M)) / ALONG_M) + 1;
  return {
    halfSpan_m,
    offsetBy(distance_m) {
      const east = new Float64Array(count);
      const north = new Float64Array(count);
      for (let k = 0; k < count; k++) {
        const along = -halfSpan_m - RUN_ON_M + k * ALONG_M;
        const bend = swing * Math.sin(wave * along);
        const slope = swing * wave * Math.cos(wave * along);
        const norm = Math.hypot(1, slope);
        const a = along - (distance_m * slope) / norm;
        const d = bend + distance_m / norm;
        east[k] = middle[0] + a * u[0] + d * right[0];
        north[k] = middle[1] + a * u[1] + d * right[1];
      }
      return { east, north };
    },
  };
}

/** Least and greatest distance from the guide line at which there is crop, to 0.1 m. */
function spanAcross(guide: GuideLine, isCrop: IsCrop): [number, number] {
  const meets = (distance_m: number): boolean => {
    const { east, north } = guide.offsetBy(distance_m);
    for (let k = 0; k < east.length; k += 4) if (isCrop(east[k], north[k])) return true;
    return false;
  };
  const limit = guide.halfSpan_m + 40;
  const firstFrom = (start: number, step: number): number => {
    let at = start;
    while (Math.abs(at) <= limit && !meets(at)) at += step;
    if (Math.abs(at) > limit) throw new RangeError('the headland laps leave nothing for the passes inside');
    // Back to the last metre without crop, then finer.
    at -= step;
    while (!meets(at)) at += step / 20;
    return at;
  };
  return [firstFrom(-limit, 2), firstFrom(limit, -2)];
}

function withStretches(
  east_m: Float64Array,
  north_m: Float64Array,
  width_m: number,
  isCrop: IsCrop,
  from: number,
  to: number,
): PlannedLine {
  const stretches: [number, number][] = [];
  for (let k = Math.max(1, from); k <= Math.min(to, east_m.length - 2); k++) {
    if (!meetsCrop(east_m, north_m, k, width_m, isCrop)) continue;
    const last = stretches[stretches.length - 1];
    if (last !== undefined && (k - last[1]) * ALONG_M < LEAST_GAP_M) last[1] = k;
    else stretches.push([k, k]);
  }
  return {
    east_m,
    north_m,
    stretches: stretches.filter(([first, last]) => (last - first) * ALONG_M >= SHORTEST_PASS_M),
  };
}

function meetsCrop(
  east_m: Float64Array,
  north_m: Float64Array,
  k: number,
  width_m: number,
  isCrop: IsCrop,
): boolean {
  const along = [east_m[k + 1] - east_m[k - 1], north_m[k + 1] - north_m[k - 1]];
  const norm = Math.hypot(along[0], along[1]);
  for (let j = 0; j < ACROSS; j++) {
    const offset = ((j / (ACROSS - 1) - 0.5) * width_m) / norm;
    if (isCrop(east_m[k] + offset * along[1], north_m[k] - offset * along[0])) return true;
  }
  return false;
}
