/** 10 m block means of some of a field's points, for comparison with the truth's. */
import type { FieldPoints } from '../../core/result.ts';
import { BLOCK_SIDE_M, blockFrame } from './block-frame.ts';
import type { FieldTruth } from './season-truth.ts';

/** One row a block of the truth. */
export interface BlockMeans {
  /** Whether enough of the block was cut, and enough of that is under the points. */
  readonly isKnown: readonly boolean[];
  /** NaN where there is no point. */
  readonly mean_kg_m2: readonly number[];
}

/** Points across the header and along the way in which a swath is laid over the blocks. */
const ACROSS = 12;
const ALONG = 3;
/** A block counts when so much of it was cut and so much of that is under kept points. */
const CUT_SHARE = 0.5;
const KEPT_SHARE = 0.5;

/** Each point's mass and ground are spread evenly over its swath (cut width × distance about its middle). */
export function blockMeans(
  field: FieldTruth,
  points: FieldPoints,
  isKept: (point: number) => boolean,
): BlockMeans {
  const frame = blockFrame(field.frame.lon0, field.frame.lat0);
  const found = new Map<string, { area_m2: number; mass_kg: number }>();
  for (let i = 0; i < points.t_s.length; i++) {
    if (!isKept(i) || !Number.isFinite(points.yield_kg_m2[i])) continue;
    const [east_m, north_m] = frame.eastNorth(points.longitude_deg[i], points.latitude_deg[i]);
    const sin = Math.sin(points.heading_rad[i]);
    const cos = Math.cos(points.heading_rad[i]);
    const area_m2 = points.fresh_area_m2[i] / (ACROSS * ALONG);
    for (let a = 0; a < ACROSS; a++) {
      const right = ((a + 0.5) / ACROSS - 0.5) * points.cut_width_m[i];
      for (let b = 0; b < ALONG; b++) {
        const ahead = ((b + 0.5) / ALONG - 0.5) * points.distance_m[i];
        const col = Math.floor((east_m + right * cos + ahead * sin) / BLOCK_SIDE_M);
        const row = Math.floor((north_m - right * sin + ahead * cos) / BLOCK_SIDE_M);
        const key = `${col},${row}`;
        const block = found.get(key) ?? { area_m2: 0, mass_kg: 0 };
        block.area_m2 += area_m2;
        block.mass_kg += area_m2 * points.yield_kg_m2[i];
        found.set(key, block);
      }
    }
  }
  const { col, row, cut_area_m2 } = field.blocks_10m;
  const blocks = Array.from(col, (_, k) => found.get(`${col[k]},${row[k]}`));
  return {
    isKnown: blocks.map(
      (block, k) =>
        cut_area_m2[k] >= CUT_SHARE * BLOCK_SIDE_M ** 2 &&
        block !== undefined &&
        block.area_m2 >= KEPT_SHARE * cut_area_m2[k],
    ),
    mean_kg_m2: blocks.map((block) => (block === undefined ? Number.NaN : block.mass_kg / block.area_m2)),
  };
}

/** Root mean square error of the blocks that count, % of their true mean. */
export function blockErrorPct(
  field: FieldTruth,
  { mean_kg_m2 }: BlockMeans,
  counts: (block: number) => boolean,
): number {
  const { cut_area_m2, mass_std_kg } = field.blocks_10m;
  let squares = 0;
  let sum = 0;
  let n = 0;
  for (let k = 0; k < mean_kg_m2.length; k++) {
    if (!counts(k)) continue;
    const truth = mass_std_kg[k] / cut_area_m2[k];
    squares += (mean_kg_m2[k] - truth) ** 2;
    sum += truth;
    n++;
  }
  return (100 * Math.sqrt(squares / n)) / (sum / n);
}
