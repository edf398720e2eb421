/**
 * A boundary as it is drawn on a map: rings in any order and direction. A ring inside another is an island that is left
 * out, one inside an island is ground again (even–odd rule), one outside all others is another piece of the field.
 */
import { geodesicPolygonArea } from './geodesic.ts';

/** [longitude, latitude] in degrees. */
export type DrawnPlace = readonly [longitude_deg: number, latitude_deg: number];
/** Corners in their order; the last is joined to the first and does not repeat it. */
export type DrawnRing = readonly DrawnPlace[];

export interface DrawnFault {
  /** One sentence: what is wrong and how to mend it. */
  readonly text: string;
  /** Where. */
  readonly place: DrawnPlace;
}

/** Edges that are compared at most: hand-drawn rings have hundreds, surveyed ones some thousands. */
const MOST_COMPARISONS = 2e7;

/** What stands against the rings as a boundary: too few corners, or edges that cross; `undefined` for sound ones. */
export function drawnFault(rings: readonly DrawnRing[]): DrawnFault | undefined {
  for (const ring of rings) {
    if (new Set(ring.map(([longitude_deg, latitude_deg]) => `${longitude_deg} ${latitude_deg}`)).size < 3)
      return {
        text: 'An outline needs three corners or more; add corners or remove the ring.',
        place: ring[0] ?? [Number.NaN, Number.NaN],
      };
  }
  const edges = rings.flatMap(edgesOf).sort((a, b) => a.west - b.west);
  let open: Edge[] = [];
  let comparisons = 0;
  for (const edge of edges) {
    open = open.filter(({ east }) => east >= edge.west);
    comparisons += open.length;
    if (comparisons > MOST_COMPARISONS) return undefined;
    for (const other of open) {
      const place = crossing(edge, other);
      if (place) return { text: crossingText(place, edge.ring === other.ring), place };
    }
    open.push(edge);
  }
  return undefined;
}

function crossingText([longitude_deg, latitude_deg]: DrawnPlace, isSelf: boolean): string {
  const what = isSelf ? 'The outline crosses itself' : 'Two rings cross each other';
  return `${what} at ${latitude_deg.toFixed(6)}, ${longitude_deg.toFixed(6)} (latitude, longitude); move a corner there.`;
}

interface Edge {
  readonly ring: DrawnRing;
  readonly from: DrawnPlace;
  readonly to: DrawnPlace;
  readonly west: number;
  readonly east: number;
}

function edgesOf(ring: DrawnRing): Edge[] {
  return ring.map((from, i) => {
    const to = ring[(i + 1) % ring.length];
    return { ring, from, to, west: Math.min(from[0], to[0]), east: Math.max(from[0], to[0]) };
  });
}

/** Where two edges cross in a point inside both; edges that only touch do not. */
function crossing(a: Edge, b: Edge): DrawnPlace | undefined {
  const [from, to] = [side(a, b.from), side(a, b.to)];
  if (!(Math.sign(from) * Math.sign(to) < 0)) return undefined;
  if (!(Math.sign(side(b, a.from)) * Math.sign(side(b, a.to)) < 0)) return undefined;
  const share = from / (from - to);
  return [b.from[0] + share * (b.to[0] - b.from[0]), b.from[1] + share * (b.to[1] - b.from[1])];
}

function side({ from, to }: Edge, place: DrawnPlace): number {
  return (to[0] - from[0]) * (place[1] - from[1]) - (to[1] - from[1]) * (place[0] - from[0]);
}

/** Ground inside the rings by the even–odd rule, m², on the ellipsoid (geodesic edges, [Karney2013 section 6]). */
export function drawnArea_m2(rings: readonly DrawnRing[]): number {
  return rings.reduce((sum, ring) => {
    const area_m2 = Math.abs(
      geodesicPolygonArea(
        ring.map(([longitude_deg]) => longitude_deg),
        ring.map(([, latitude_deg]) => latitude_deg),
      ).area_m2,
    );
    return sum + (depthOf(ring, rings) % 2 === 0 ? area_m2 : -area_m2);
  }, 0);
}

/** GeoJSON of sound rings: a Feature named after the field; outer rings counter-clockwise, islands clockwise [RFC 7946 §3.1.6]. */
export function drawnBoundaryText(rings: readonly DrawnRing[], field: string): string {
  const outer = rings.filter((ring) => depthOf(ring, rings) % 2 === 0);
  const coordinates = outer.map((ring) => {
    const depth = depthOf(ring, rings);
    const islands = rings.filter(
      (other) => other !== ring && depthOf(other, rings) === depth + 1 && isWithin(other, ring),
    );
    return [turned(ring, 'counter_clockwise'), ...islands.map((island) => turned(island, 'clockwise'))];
  });
  const geometry =
    coordinates.length === 1
      ? { type: 'Polygon', coordinates: coordinates[0] }
      : { type: 'MultiPolygon', coordinates };
  return `${JSON.stringify({ type: 'Feature', properties: { name: field }, geometry }, null, 1)}\n`;
}

/** In how many other rings a ring lies; rings do not cross. */
function depthOf(ring: DrawnRing, rings: readonly DrawnRing[]): number {
  return rings.filter((other) => other !== ring && isWithin(ring, other)).length;
}

/** Whether most corners of `inner` lie inside `outer`: corners on its edge, which rings may share, decide nothing. */
function isWithin(inner: DrawnRing, outer: DrawnRing): boolean {
  const inside = inner.filter((place) => isInside(place, outer)).length;
  return 2 * inside > inner.length;
}

/** By the number of edges north of the place. */
function isInside([longitude_deg, latitude_deg]: DrawnPlace, ring: DrawnRing): boolean {
  let isIn = false;
  ring.forEach((from, i) => {
    const to = ring[(i + 1) % ring.length];
    if (from[0] > longitude_deg === to[0] > longitude_deg) return;
    const share = (longitude_deg - from[0]) / (to[0] - from[0]);
    if (from[1] + share * (to[1] - from[1]) > latitude_deg) isIn = !isIn;
  });
  return isIn;
}

/** The ring closed and running the wished way round. */
function turned(ring: DrawnRing, way: 'clockwise' | 'counter_clockwise'): DrawnPlace[] {
  const twice = ring.reduce((sum, from, i) => {
    const to = ring[(i + 1) % ring.length];
    return (
      sum + (from[0] - ring[0][0]) * (to[1] - ring[0][1]) - (to[0] - ring[0][0]) * (from[1] - ring[0][1])
    );
  }, 0);
  const corners = twice > 0 === (way === 'counter_clockwise') ? [...ring] : [...ring].reverse();
  return [...corners, corners[0]];
}
