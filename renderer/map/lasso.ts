/** Rows inside a line drawn around them. */
import type { RowMask } from './types.ts';

const BANDS = 256;

/**
 * One byte a row: 1 inside the ring, by the even–odd rule. `xy_m`: east, north, … of the rows; `ring`: east, north, … of
 * the line, closed by itself. The ring's edges are sorted into bands by height first, so that half a million rows take
 * milliseconds whatever the hand has drawn.
 */
export function lassoMask(xy_m: Float32Array, ring: readonly number[]): RowMask {
  const rows = xy_m.length / 2;
  const mask = new Uint8Array(rows);
  const corners = ring.length / 2;
  if (corners < 3) return mask;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 1; i < ring.length; i += 2) {
    low = Math.min(low, ring[i]);
    high = Math.max(high, ring[i]);
  }
  const bandOf = (north: number) =>
    Math.min(BANDS - 1, Math.max(0, Math.floor(((north - low) / (high - low || 1)) * BANDS)));
  const bands: number[][] = Array.from({ length: BANDS }, () => []);
  for (let corner = 0; corner < corners; corner++) {
    const from = ring[2 * corner + 1];
    const to = ring[2 * ((corner + 1) % corners) + 1];
    for (let band = bandOf(Math.min(from, to)); band <= bandOf(Math.max(from, to)); band++)
      bands[band].push(corner);
  }
  for (let row = 0; row < rows; row++) {
    const north = xy_m[2 * row + 1];
    if (!(north >= low && north <= high)) continue;
    mask[row] = crossings(bands[bandOf(north)], ring, xy_m[2 * row], north) & 1;
  }
  return mask;
}

/** Edges that a line from the place to the east would cross. */
function crossings(edges: readonly number[], ring: readonly number[], east: number, north: number): number {
  let count = 0;
  for (const corner of edges) {
    const next = (corner + 1) % (ring.length / 2);
    const y0 = ring[2 * corner + 1];
    const y1 = ring[2 * next + 1];
    if (y0 > north === y1 > north) continue;
    const x0 = ring[2 * corner];
    const crossing = x0 + ((ring[2 * next] - x0) * (north - y0)) / (y1 - y0);
    if (east < crossing) count++;
  }
  return count;
}
