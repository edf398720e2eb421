/** Where the outline of a field crosses itself, as a ring whose corners are in the wrong order does. */

/** Pairs of edges that are compared at most: some tenths of a second. */
const MOST_COMPARISONS = 5e6;

/**
 * A corner of the first edge that crosses another, [lon, lat] degrees; `undefined` for a sound ring. Edges that only touch
 * do not cross. `ring` is closed, interleaved lon, lat. Edges are swept from west to east, so that only those whose
 * longitudes overlap are compared; where those are very many (a zigzag of thousands of corners), the search is given up.
 */
export function ringCrossing(ring: Float64Array): readonly [number, number] | undefined {
  const edges = ring.length / 2 - 1;
  const west = (edge: number) => Math.min(ring[2 * edge], ring[2 * edge + 2]);
  const east = (edge: number) => Math.max(ring[2 * edge], ring[2 * edge + 2]);
  const order = Array.from({ length: edges }, (_, edge) => edge).sort((a, b) => west(a) - west(b));
  let open: number[] = [];
  let comparisons = 0;
  for (const edge of order) {
    open = open.filter((other) => east(other) >= west(edge));
    comparisons += open.length;
    if (comparisons > MOST_COMPARISONS) return undefined;
    for (const other of open) if (cross(ring, edge, other)) return [ring[2 * edge], ring[2 * edge + 1]];
    open.push(edge);
  }
  return undefined;
}

/** Whether two edges meet in a point inside both: the ends of each lie on different sides of the other. */
function cross(ring: Float64Array, a: number, b: number): boolean {
  return sides(ring, a, b) < 0 && sides(ring, b, a) < 0;
}

/** Negative when the ends of edge `b` lie on different sides of the line through edge `a`. */
function sides(ring: Float64Array, a: number, b: number): number {
  return Math.sign(side(ring, a, 2 * b)) * Math.sign(side(ring, a, 2 * b + 2));
}

function side(ring: Float64Array, edge: number, at: number): number {
  const x = ring[2 * edge];
  const y = ring[2 * edge + 1];
  return (ring[2 * edge + 2] - x) * (ring[at + 1] - y) - (ring[2 * edge + 3] - y) * (ring[at] - x);
}
