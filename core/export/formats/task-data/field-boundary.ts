/** A field's boundary as polygons of task data, and its area. */
import { geodesicPolygonArea } from '../../../track/geodesic.ts';
import { polygonParts } from '../../layers/antimeridian.ts';
import { fixedJson } from '../../number-text.ts';
import { FINE_DEGREE_DIGITS } from '../layer-values.ts';

/** Rings of a boundary, interleaved degrees, closed, in any order and turning either way: the even–odd rule says what is inside. */
export type BoundaryRings = readonly Float64Array[];

/** Whole m² on the ellipsoid. */
export function boundaryArea_m2(rings: BoundaryRings): number {
  return Math.round(
    rings.reduce((sum, ring) => sum + (isHole(ring, rings) ? -1 : 1) * Math.abs(signedArea_m2(ring)), 0),
  );
}

/** A `PLN` (1: boundary of a partfield) for each piece of ground with its holes; of ground across the 180° meridian two. */
export function boundaryElements(rings: BoundaryRings): readonly string[] {
  const holes = rings.filter((ring) => isHole(ring, rings)).map((ring) => turning(ring, -1));
  return rings
    .filter((ring) => !isHole(ring, rings))
    .flatMap((ring) => polygonParts([turning(ring, 1), ...holes.filter((hole) => isWithin(hole, ring))]))
    .map((polygon) => `<PLN A="1">${polygon.map(lineString).join('')}</PLN>`);
}

/** 1 the exterior, 2 what is left out of it. */
function lineString(ring: Float64Array, place: number): string {
  const points: string[] = [];
  for (let at = 0; at < ring.length; at += 2) {
    const [east, north] = [ring[at], ring[at + 1]].map((angle_deg) =>
      fixedJson(angle_deg, FINE_DEGREE_DIGITS),
    );
    points.push(`<PNT A="2" C="${north}" D="${east}"/>`);
  }
  return `<LSG A="${place === 0 ? 1 : 2}">${points.join('')}</LSG>`;
}

function signedArea_m2(ring: Float64Array): number {
  const corners = ring.length / 2;
  return geodesicPolygonArea(
    Array.from({ length: corners }, (_, k) => ring[2 * k]),
    Array.from({ length: corners }, (_, k) => ring[2 * k + 1]),
  ).area_m2;
}

/** 1 counter-clockwise, −1 clockwise. */
function turning(ring: Float64Array, sense: 1 | -1): Float64Array {
  if (signedArea_m2(ring) * sense >= 0) return ring;
  const turned = new Float64Array(ring.length);
  for (let at = 0; at < ring.length; at += 2)
    turned.set([ring[ring.length - at - 2], ring[ring.length - at - 1]], at);
  return turned;
}

function isHole(ring: Float64Array, rings: BoundaryRings): boolean {
  return rings.filter((other) => other !== ring && isWithin(ring, other)).length % 2 === 1;
}

/** Whether the first corner of `inner` lies in `outer`; longitudes are taken from that corner on, so that no meridian is in the way. */
function isWithin(inner: Float64Array, outer: Float64Array): boolean {
  const [longitude_deg, latitude_deg] = inner;
  const x = (at: number) => ((((outer[at] - longitude_deg + 180) % 360) + 360) % 360) - 180;
  let inside = false;
  for (let at = 0; at + 3 < outer.length; at += 2) {
    const [y1, y2] = [outer[at + 1] - latitude_deg, outer[at + 3] - latitude_deg];
    if (y1 > 0 === y2 > 0) continue;
    if (x(at) - (y1 / (y2 - y1)) * (x(at + 2) - x(at)) > 0) inside = !inside;
  }
  return inside;
}
