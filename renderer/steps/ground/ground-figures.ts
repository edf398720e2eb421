/** What was cut and swept in a field, from its points. */
import type { FieldPoints } from '../../../core/result.ts';
import { haFromM2 } from '../../../core/units.ts';

export interface GroundFigures {
  readonly swept_ha: number;
  /** Share of the swept ground that had been cut before. */
  readonly overlap_share: number;
  readonly median_m: number;
  readonly width_se_m: number;
  readonly passes: number;
  readonly header_m: number;
  /** Distance driven at each share of the header's width, metres, twenty bins from none to all. */
  readonly distance_m: Float64Array;
}

const BINS = 20;

/** Over the points in which crop was cut; null when there are none. `headers_m`: header width of each machine. */
export function groundFigures(points: FieldPoints, headers_m: readonly number[]): GroundFigures | null {
  const widths: number[] = [];
  const distance_m = new Float64Array(BINS);
  const passes = new Set<string>();
  let swept_m2 = 0;
  let fresh_m2 = 0;
  let se_sum = 0;
  let se_count = 0;
  for (let i = 0; i < points.pass.length; i++) {
    const wide_m = points.cut_width_m[i];
    const header_m = headers_m[points.machine[i]];
    if (points.pass[i] < 0 || !Number.isFinite(wide_m) || !Number.isFinite(header_m)) continue;
    passes.add(`${points.machine[i]} ${points.pass[i]}`);
    widths.push(wide_m);
    const way_m = points.distance_m[i] || 0;
    swept_m2 += way_m * header_m;
    fresh_m2 += points.fresh_area_m2[i] || 0;
    distance_m[Math.min(BINS - 1, Math.max(0, Math.floor((BINS * wide_m) / header_m)))] += way_m;
    if (Number.isFinite(points.width_se_m[i])) {
      se_sum += points.width_se_m[i];
      se_count++;
    }
  }
  if (widths.length === 0) return null;
  const sorted = Float64Array.from(widths).sort();
  return {
    swept_ha: haFromM2(swept_m2),
    overlap_share: swept_m2 > 0 ? Math.max(0, 1 - fresh_m2 / swept_m2) : Number.NaN,
    median_m: sorted[sorted.length >> 1],
    width_se_m: se_count > 0 ? se_sum / se_count : Number.NaN,
    passes: passes.size,
    header_m: headers_m[points.machine[0]],
    distance_m,
  };
}
