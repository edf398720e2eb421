/** A strip's points, few enough to compare each with each. */
import type { FieldPoints } from '../../result.ts';

export interface ThinnedStrip {
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  /** Shares of the strip's ground; their sum is 1. */
  readonly weight: Float64Array;
  /** Of the single points: what a nugget is weighed by. */
  readonly squared_weights: number;
}

/** Points one after the other are put together into `most` stretches at most. */
export function thinnedStrip(points: FieldPoints, rows: Int32Array, most: number): ThinnedStrip {
  const each = Math.ceil(rows.length / most);
  const count = Math.ceil(rows.length / each);
  const [east_m, north_m, weight] = [0, 1, 2].map(() => new Float64Array(count));
  let area_m2 = 0;
  for (const row of rows) area_m2 += points.fresh_area_m2[row];
  let squared_weights = 0;
  rows.forEach((row, k) => {
    const share = points.fresh_area_m2[row] / area_m2;
    const at = Math.floor(k / each);
    weight[at] += share;
    east_m[at] += share * points.east_m[row];
    north_m[at] += share * points.north_m[row];
    squared_weights += share ** 2;
  });
  for (let at = 0; at < count; at++) {
    east_m[at] /= weight[at];
    north_m[at] /= weight[at];
  }
  return { east_m, north_m, weight, squared_weights };
}
