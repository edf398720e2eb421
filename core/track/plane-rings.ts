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

/** Outline of each of `fields` in its own plane; no rings where it has no boundary. */
export function outlinesOfFields(
  fields: readonly { readonly field: number; readonly frame: LocalFrame }[],
  boundaries: readonly (BoundaryPolygons | undefined)[],
): Float64Array[][] {
  return fields.map(({ field, frame }) => planeRings(boundaries[field]?.polygons.flat() ?? [], frame));
}
