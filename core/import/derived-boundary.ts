/** Outlines of worked ground, drawn with room to spare around the tracks: a boundary until somebody surveys one. */
import type { BoundaryPolygons } from '../read/boundaries.ts';
import type { LocalFrame } from '../track/local-frame.ts';
import { around, CELL_M, cellAt, cellKey, type WorkedGround } from './worked-ground.ts';

/** Cells that are added all around, so that no header reaches out: 40 m, less at a neighbour's edge. */
const MARGIN_CELLS = 2;

/**
 * Outlines of pieces of worked ground in one frame; no two of them overlap. Cells between two pieces go to the nearer one,
 * those in the middle to the larger; ground that is not free (in another field's boundary) to none. Holes are filled: what
 * was not cut is not counted anyway.
 */
export function derivedBoundaries(
  pieces: readonly WorkedGround[],
  frame: LocalFrame,
  source: (piece: number) => string,
  isFree?: (longitude_deg: number, latitude_deg: number) => boolean,
): BoundaryPolygons[] {
  const isOpen = (cell: number) => {
    if (isFree === undefined) return true;
    const [column, row] = cellAt(cell);
    const middle = frame.toGeographic([(column + 0.5) * CELL_M], [(row + 0.5) * CELL_M]);
    return isFree(middle.longitude_deg[0], middle.latitude_deg[0]);
  };
  const owner = new Map<number, number>();
  pieces.forEach(({ cells }, p) => {
    for (const cell of cells) if (isOpen(cell)) owner.set(cell, p);
  });
  let edge = [...owner.keys()];
  for (let step = 0; step < MARGIN_CELLS; step++) {
    const grown: number[] = [];
    for (const cell of edge) {
      for (const near of around(cell, 1)) {
        if (owner.has(near) || !isOpen(near)) continue;
        owner.set(near, owner.get(cell) as number);
        grown.push(near);
      }
    }
    edge = grown;
  }
  return pieces.map((_, p) => {
    const own = new Set([...owner].flatMap(([cell, by]) => (by === p ? [cell] : [])));
    return { source: source(p), polygons: outerRings(own).map((ring) => [toGeographic(ring, frame)]) };
  });
}

type Corner = readonly [column: number, row: number];

/** Outer rings around the cells, anticlockwise, closed, corners only, in cells. */
function outerRings(cells: ReadonlySet<number>): Corner[][] {
  const next = edgesOf(cells);
  const rings: Corner[][] = [];
  for (const start of [...next.keys()]) {
    while ((next.get(start)?.length ?? 0) > 0) {
      const ring = followed(start, next);
      if (areaOf(ring) > 0) rings.push(withoutStraights(ring));
    }
  }
  return rings;
}

/** Edges of cells without a neighbour there, from corner to corner with the ground on the left. */
function edgesOf(cells: ReadonlySet<number>): Map<number, Corner[]> {
  const next = new Map<number, Corner[]>();
  const add = (from: Corner, to: Corner) => {
    const key = cellKey(...from);
    next.set(key, [...(next.get(key) ?? []), to]);
  };
  for (const cell of cells) {
    const [c, r] = cellAt(cell);
    if (!cells.has(cellKey(c, r - 1))) add([c, r], [c + 1, r]);
    if (!cells.has(cellKey(c + 1, r))) add([c + 1, r], [c + 1, r + 1]);
    if (!cells.has(cellKey(c, r + 1))) add([c + 1, r + 1], [c, r + 1]);
    if (!cells.has(cellKey(c - 1, r))) add([c, r + 1], [c, r]);
  }
  return next;
}

/** One ring from `start`, its edges taken out of `next`; where two cells touch at a corner it turns left, to stay with its own. */
function followed(start: number, next: Map<number, Corner[]>): Corner[] {
  const first = cellAt(start);
  const ring: Corner[] = [first];
  let before: Corner | undefined;
  let at: Corner = first;
  do {
    const ways = next.get(cellKey(...at)) as Corner[];
    const way = ways.length === 1 || before === undefined ? ways[0] : leftmost(before, at, ways);
    ways.splice(ways.indexOf(way), 1);
    before = at;
    at = way;
    ring.push(at);
  } while (cellKey(...at) !== start);
  return ring;
}

function leftmost(before: Corner, at: Corner, ways: readonly Corner[]): Corner {
  const turn = (to: Corner) => (at[0] - before[0]) * (to[1] - at[1]) - (at[1] - before[1]) * (to[0] - at[0]);
  return ways.reduce((best, way) => (turn(way) > turn(best) ? way : best));
}

function areaOf(ring: readonly Corner[]): number {
  let twice = 0;
  for (let k = 0; k + 1 < ring.length; k++)
    twice += ring[k][0] * ring[k + 1][1] - ring[k + 1][0] * ring[k][1];
  return twice / 2;
}

function withoutStraights(ring: readonly Corner[]): Corner[] {
  const kept = ring.filter((corner, k) => {
    const before = ring[k === 0 ? ring.length - 2 : k - 1];
    const after = ring[k === ring.length - 1 ? 1 : k + 1];
    return (
      (corner[0] - before[0]) * (after[1] - corner[1]) !== (corner[1] - before[1]) * (after[0] - corner[0])
    );
  });
  const [first] = kept;
  const last = kept[kept.length - 1];
  return first[0] === last[0] && first[1] === last[1] ? kept : [...kept, first];
}

function toGeographic(ring: readonly Corner[], frame: LocalFrame): Float64Array {
  const { longitude_deg, latitude_deg } = frame.toGeographic(
    ring.map(([column]) => column * CELL_M),
    ring.map(([, row]) => row * CELL_M),
  );
  const positions = new Float64Array(2 * ring.length);
  for (let k = 0; k < ring.length; k++) {
    positions[2 * k] = longitude_deg[k];
    positions[2 * k + 1] = latitude_deg[k];
  }
  return positions;
}
