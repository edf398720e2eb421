/** Yields unlike those of their nearest neighbours by local Moran's index [Anselin1995], in use for yield maps [Vega2019]. */
import { pickRows } from '../columns.ts';
import { localMoran, nearestNeighbours } from '../stats/moran.ts';

/** Nearest points that each is compared with: a dozen of its own pass and as many of the passes beside it (ours). */
const NEIGHBOURS = 24;

/**
 * 1 where the index is below zero (unlike its neighbours) with a two-sided probability of less than `p_max`, among the
 * points given. Points without a yield or place are not judged, nor are fewer points than have neighbours.
 */
export function moranOutliers(
  points: {
    readonly east_m: Float64Array;
    readonly north_m: Float64Array;
    readonly yield_kg_m2: Float64Array;
  },
  rows: Int32Array,
  p_max: number,
): Uint8Array {
  const { east_m, north_m, yield_kg_m2 } = points;
  const outlying = new Uint8Array(yield_kg_m2.length);
  const known = rows.filter((row) => Number.isFinite(yield_kg_m2[row] + east_m[row] + north_m[row]));
  if (known.length <= NEIGHBOURS) return outlying;
  const neighbours = nearestNeighbours(pickRows(east_m, known), pickRows(north_m, known), NEIGHBOURS);
  const { index, p } = localMoran(pickRows(yield_kg_m2, known), neighbours);
  known.forEach((row, k) => {
    if (index[k] < 0 && p[k] < p_max) outlying[row] = 1;
  });
  return outlying;
}
