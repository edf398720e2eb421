/** What one machine harvested of one crop: sums for the error of its total, and the flows at which it did. */
import type { FittedGrain } from '../calibrate/total-error.ts';
import type { FieldPoints } from '../result.ts';
import { quantile } from '../stats/quantiles.ts';

/** Sums as in `FittedGrain`; flows and masses of the kept points, one element each. */
export interface HarvestedGrain extends Omit<FittedGrain, 'fit'> {
  readonly flow_kg_s: Float64Array;
  readonly mass_kg: Float64Array;
  /** Span of the load that each went into, −1 for none. */
  readonly load: Int32Array;
}

/** A field's points with the sums of its plots. */
export interface HarvestedField {
  readonly points: FieldPoints;
  readonly plots: readonly {
    readonly machine: string;
    readonly rows: Int32Array;
    readonly totals: Omit<FittedGrain, 'fit' | 'by_load_kg'>;
  }[];
}

/** Mass of the rows by the load that it went into. */
export function massByLoad({ load, mass_kg }: FieldPoints, rows: Int32Array): Map<number, number> {
  const byLoad = new Map<number, number>();
  // rows that follow one another mostly went into one load, which then need not be looked up
  let span = -1;
  let sum_kg = 0;
  for (let k = 0; k < rows.length; k++) {
    const row = rows[k];
    if (load[row] !== span) {
      if (span >= 0) byLoad.set(span, sum_kg);
      span = load[row];
      sum_kg = byLoad.get(span) ?? 0;
    }
    if (span >= 0) sum_kg += mass_kg[row];
  }
  if (span >= 0) byLoad.set(span, sum_kg);
  return byLoad;
}

/** Everything of the given fields that `isMeant` says is this machine's; zeros where there is nothing. */
export function harvestedGrain(
  fields: readonly HarvestedField[],
  isMeant: (machine: string, crop: string, field: string) => boolean,
): HarvestedGrain {
  const sums = { x_kg: 0, running_s: 0, x2_kg: 0, xm_kg: 0 };
  const by_load_kg = new Map<number, number>();
  const meant = fields.flatMap(({ points, plots }) =>
    plots.flatMap((plot) => (isMeant(plot.machine, points.crop, points.field) ? [{ points, ...plot }] : [])),
  );
  const most = meant.reduce((count, { rows }) => count + rows.length, 0);
  const flow_kg_s = new Float64Array(most);
  const mass_kg = new Float64Array(most);
  const load = new Int32Array(most);
  let kept = 0;
  for (const { points, rows, totals } of meant) {
    for (const name of ['x_kg', 'running_s', 'x2_kg', 'xm_kg'] as const) sums[name] += totals[name];
    for (const [span, kg] of massByLoad(points, rows)) by_load_kg.set(span, (by_load_kg.get(span) ?? 0) + kg);
    const { screened_by } = points;
    for (let k = 0; k < rows.length; k++) {
      const row = rows[k];
      if (screened_by[row] !== 0) continue;
      flow_kg_s[kept] = points.mass_flow_kg_s[row];
      mass_kg[kept] = points.mass_kg[row];
      load[kept++] = points.load[row];
    }
  }
  return {
    ...sums,
    by_load_kg,
    flow_kg_s: flow_kg_s.slice(0, kept),
    mass_kg: mass_kg.slice(0, kept),
    load: load.slice(0, kept),
  };
}

/** Quartiles of the flows of each load's kept points, by span. */
export function flowsByLoad({ flow_kg_s, load }: HarvestedGrain): Map<number, LoadFlows> {
  /** By span, which are few and numbered from 0. */
  const counts: number[] = [];
  for (let i = 0; i < load.length; i++) if (load[i] >= 0) counts[load[i]] = (counts[load[i]] ?? 0) + 1;
  const flows = new Map(
    Object.entries(counts).map(([span, count]) => [Number(span), new Float64Array(count)]),
  );
  const columns: (Float64Array | undefined)[] = [];
  for (const [span, own] of flows) columns[span] = own;
  const next: number[] = [];
  for (let i = 0; i < load.length; i++) {
    const own = columns[load[i]];
    if (own === undefined) continue;
    const at = next[load[i]] ?? 0;
    own[at] = flow_kg_s[i];
    next[load[i]] = at + 1;
  }
  return new Map(
    [...flows].map(([span, own]) => [
      span,
      { lower: quantile(own, 0.25), middle: quantile(own, 0.5), upper: quantile(own, 0.75) },
    ]),
  );
}

export interface LoadFlows {
  readonly lower: number;
  readonly middle: number;
  readonly upper: number;
}

/** Kept points, and their grain, whose flow lies outside the range, %; NaN where there are none or no range. */
export function outsideCovered(
  { flow_kg_s, mass_kg }: HarvestedGrain,
  [least, greatest]: readonly [number, number],
): { readonly points_pct: number; readonly grain_pct: number } {
  if (!Number.isFinite(least)) return { points_pct: Number.NaN, grain_pct: Number.NaN };
  let points = 0;
  let outside_kg = 0;
  let total_kg = 0;
  for (let i = 0; i < flow_kg_s.length; i++) {
    total_kg += mass_kg[i];
    if (flow_kg_s[i] >= least && flow_kg_s[i] <= greatest) continue;
    points++;
    outside_kg += mass_kg[i];
  }
  return { points_pct: (100 * points) / flow_kg_s.length, grain_pct: (100 * outside_kg) / total_kg };
}
