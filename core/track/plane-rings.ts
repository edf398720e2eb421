/** Boundaries in a field's plane. */
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { LocalFrame } from './local-frame.ts';

/** Rings (interleaved longitude, latitude in degrees) as rings of the plane (interleaved east, north in metres). */
export function planeRings(rings: readonly Float64Array[], frame: LocalFrame): Float64Array[] {
  return rings.map((ring) => {
    const plane = frame.toPlane(
      ring.filter((_, k) => k % 2 === 0),
      ring.filter((_, k) => k % 2 === 1),
    );
    return Float64Array.from(ring, (_, k) => (k % 2 === 0 ? plane.east_m[k >> 1] : plane.north_m[k >> 1]));
  });
}

/**
 * Whether a place lies within rings of interleaved x and y (metres or degrees), each closed or not, by the even–odd rule over all
 * of them, so that holes are outside.
 */
export function ringsHold(rings: readonly Float64Array[], x: number, y: number): boolean {
  let isHeld = false;
  for (const ring of rings) {
    const n = ring.length;
    for (let a = 0, b = n - 2; a < n; b = a, a += 2) {
      if (ring[a + 1] > y === ring[b + 1] > y) continue;
      const at = ring[a] + ((y - ring[a + 1]) / (ring[b + 1] - ring[a + 1])) * (ring[b] - ring[a]);
      if (x < at) isHeld = !isHeld;
    }
  }
  return isHeld;
}

/** Outline of each of `fields` in its own plane; no rings where it has no boundary. */
export function outlinesOfFields(
  fields: readonly { readonly field: number; readonly frame: LocalFrame }[],
  boundaries: readonly (BoundaryPolygons | undefined)[],
): Float64Array[][] {
  return fields.map(({ field, frame }) => planeRings(boundaries[field]?.polygons.flat() ?? [], frame));
}
