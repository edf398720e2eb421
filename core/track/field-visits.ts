/**
 * Which field a machine was in: every fix is given to one field, so that every kilogram that passed the beam belongs to one.
 * A fix inside a boundary is in that field; one outside all boundaries stays with the field before (turning, unloading,
 * travelling) or, at the start, with the one that follows. A field without a boundary takes the fixes that its log is
 * named for, or, when it is the only one, all that lie in no other field.
 */
import type { BoundaryPolygons } from '../read/boundaries.ts';
import { ringsHold } from './plane-rings.ts';
import type { TimedFixes } from './track.ts';

/** A visit to another field that is shorter than this is a turn across the border, not a visit, s. */
const SHORTEST_VISIT_S = 40;

/** Bounds of the polygons in degrees, for a quick no. Longitudes of a field that lies across 180° run on beyond it. */
export interface Outline {
  readonly rings: readonly Float64Array[];
  readonly west: number;
  readonly south: number;
  readonly east: number;
  readonly north: number;
}

/** Boundary ready to be asked for many points. No field is half the globe wide: one that seems so lies across 180°. */
export function outlineOf(boundary: BoundaryPolygons): Outline {
  const rings = boundary.polygons.flat();
  const plain = boundsOf(rings);
  if (plain.east - plain.west <= 180) return { rings, ...plain };
  const running = rings.map((ring) => ring.map((degrees, k) => (k % 2 === 0 ? runningOn(degrees) : degrees)));
  return { rings: running, ...boundsOf(running) };
}

/** Longitude on the way round by the east: 0..360. */
function runningOn(longitude_deg: number): number {
  return longitude_deg < 0 ? longitude_deg + 360 : longitude_deg;
}

function boundsOf(rings: readonly Float64Array[]): Omit<Outline, 'rings'> {
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k += 2) {
      west = Math.min(west, ring[k]);
      east = Math.max(east, ring[k]);
      south = Math.min(south, ring[k + 1]);
      north = Math.max(north, ring[k + 1]);
    }
  }
  return { west, south, east, north };
}

/** Even–odd rule over all rings, so that holes are outside. */
export function isInside(outline: Outline, longitude: number, latitude_deg: number): boolean {
  const longitude_deg = outline.east > 180 ? runningOn(longitude) : longitude;
  if (
    longitude_deg < outline.west ||
    longitude_deg > outline.east ||
    latitude_deg < outline.south ||
    latitude_deg > outline.north
  )
    return false;
  return ringsHold(outline.rings, longitude_deg, latitude_deg);
}

/**
 * Index of the field of every fix. `outlines[f]` is undefined for a field without boundary; `hint[i]` names the field of
 * the fix's log or −1. Fixes without a position go with their neighbours. −1 only when there is no field at all to take them.
 */
export function fieldOfFixes(
  fixes: TimedFixes,
  outlines: readonly (Outline | undefined)[],
  hint: Int32Array,
): Int32Array {
  const n = fixes.t_s.length;
  const field = new Int32Array(n).fill(-1);
  const unbounded = outlines.flatMap((outline, f) => (outline === undefined ? [f] : []));
  let latest = -1;
  for (let i = 0; i < n; i++) {
    const longitude = fixes.longitude_deg[i];
    const latitude = fixes.latitude_deg[i];
    if (Number.isNaN(longitude) || Number.isNaN(latitude)) continue;
    // where boundaries overlap, the machine stays in the field that it is in
    const isThere = (outline: Outline | undefined) =>
      outline !== undefined && isInside(outline, longitude, latitude);
    const found = isThere(outlines[latest]) ? latest : outlines.findIndex(isThere);
    if (found >= 0) field[i] = latest = found;
    else if (hint[i] >= 0) field[i] = hint[i];
    else if (unbounded.length === 1) field[i] = unbounded[0];
  }
  dropShortVisits(fixes.t_s, field);
  carry(field);
  return field;
}

/** Fixes of a visit that is too short between two stretches of one other field go to that field. */
function dropShortVisits(t_s: Float64Array, field: Int32Array): void {
  let start = 0;
  let before = -1;
  for (let i = 1; i <= field.length; i++) {
    if (i < field.length && (field[i] === field[start] || field[i] < 0)) continue;
    const next = i < field.length ? field[i] : -1;
    if (before >= 0 && field[start] >= 0 && next === before && t_s[i] - t_s[start] < SHORTEST_VISIT_S) {
      field.fill(before, start, i);
    } else if (field[start] >= 0) {
      before = field[start];
    }
    start = i;
  }
}

/** Fixes of no field take that of the fix before; at the start that of the first one which has any. */
function carry(field: Int32Array): void {
  let known = field.find((f) => f >= 0) ?? -1;
  for (let i = 0; i < field.length; i++) {
    if (field[i] < 0) field[i] = known;
    else known = field[i];
  }
}
