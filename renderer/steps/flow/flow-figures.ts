/** How flow was spread over the time of cutting. */
import type { FieldPoints } from '../../../core/result.ts';

export interface FlowFigures {
  readonly median_kg_s: number;
  readonly tenth_least_kg_s: number;
  readonly tenth_most_kg_s: number;
  /** Width of a bin and seconds in each, from zero flow. */
  readonly bin_kg_s: number;
  readonly seconds: Float64Array;
}

const BINS = 24;

/** Over the kept points, weighted by their time; null when there are none. */
export function flowFigures(points: FieldPoints): FlowFigures | null {
  const rows: number[] = [];
  for (let i = 0; i < points.screened_by.length; i++) {
    if (points.screened_by[i] === 0 && Number.isFinite(points.mass_flow_kg_s[i])) rows.push(i);
  }
  if (rows.length === 0) return null;
  const flows = Float64Array.from(rows, (row) => points.mass_flow_kg_s[row]).sort();
  const at = (share: number) => flows[Math.min(flows.length - 1, Math.floor(share * flows.length))];
  const most_kg_s = Math.max(at(0.999), 1e-9);
  const bin_kg_s = most_kg_s / BINS;
  const seconds = new Float64Array(BINS);
  for (const row of rows) {
    const bin = Math.min(BINS - 1, Math.max(0, Math.floor(points.mass_flow_kg_s[row] / bin_kg_s)));
    seconds[bin] += points.duration_s[row] || 0;
  }
  return { median_kg_s: at(0.5), tenth_least_kg_s: at(0.1), tenth_most_kg_s: at(0.9), bin_kg_s, seconds };
}
