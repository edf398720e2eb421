/** Mean of each strip, with the error that neighbouring points share: points of a strip are not replicates of each other. */

import type { FieldPoints } from '../../result.ts';
import { covarianceFromSquare, evenPlane } from '../../surface/covariance.ts';
import type { VariogramModel } from '../../surface/variogram-model.ts';
import { thinnedStrip } from './strip-thinning.ts';

export interface StripMean {
  readonly points: number;
  readonly area_m2: number;
  /** At standard moisture: kilograms over square metres. */
  readonly mass_std_kg: number;
  readonly mass_wet_kg: number;
  readonly yield_kg_m2: number;
  readonly moisture_pct: number;
  /**
   * Of the mean, as one of a field of such ground: `√ΣΣ wᵢwⱼ C(xᵢ − xⱼ)` [ChilesDelfiner2012 §2.8; Webster & Oliver 2007 §4.6];
   * NaN without a variogram.
   */
  readonly se_kg_m2: number;
  /** How many points without neighbours would tell as much: `C(0)/se²` [CliffordRichardsonHemon1989; Griffith2005]. */
  readonly effective_points: number;
  readonly middle_east_m: number;
  readonly middle_north_m: number;
  /** Machines by their place in the season's result. */
  readonly machines: readonly number[];
}

/** Of the rows of one strip; `model` is the variogram of yields less their treatments' means. */
export function stripMean(
  points: FieldPoints,
  rows: Int32Array,
  model: VariogramModel | undefined,
): StripMean {
  let [area_m2, mass_std_kg, mass_wet_kg, water_kg, weighed_kg, east, north] = [0, 0, 0, 0, 0, 0, 0];
  const machines = new Set<number>();
  for (const row of rows) {
    const own_m2 = points.fresh_area_m2[row];
    area_m2 += own_m2;
    mass_std_kg += own_m2 * points.yield_kg_m2[row];
    mass_wet_kg += points.mass_kg[row];
    if (Number.isFinite(points.moisture_pct[row])) {
      water_kg += points.mass_kg[row] * points.moisture_pct[row];
      weighed_kg += points.mass_kg[row];
    }
    east += own_m2 * points.east_m[row];
    north += own_m2 * points.north_m[row];
    machines.add(points.machine[row]);
  }
  const variance = model === undefined ? Number.NaN : varianceOfMean(points, rows, model);
  return {
    points: rows.length,
    area_m2,
    mass_std_kg,
    mass_wet_kg,
    yield_kg_m2: mass_std_kg / area_m2,
    moisture_pct: water_kg / weighed_kg,
    se_kg_m2: Math.sqrt(variance),
    effective_points:
      model === undefined
        ? Number.NaN
        : Math.min(rows.length, (model.nugget + model.partial_sill) / variance),
    middle_east_m: east / area_m2,
    middle_north_m: north / area_m2,
    machines: [...machines].sort((a, b) => a - b),
  };
}

function varianceOfMean(points: FieldPoints, rows: Int32Array, model: VariogramModel): number {
  const { east_m, north_m, weight, squared_weights } = thinnedStrip(points, rows);
  const plane = evenPlane(model);
  const x = Float64Array.from(east_m, (east, k) => plane.x(east, north_m[k]));
  const y = Float64Array.from(east_m, (east, k) => plane.y(east, north_m[k]));
  const covariance = covarianceFromSquare(model);
  let sum = model.nugget * squared_weights;
  for (let i = 0; i < x.length; i++) {
    sum += weight[i] ** 2 * model.partial_sill;
    for (let j = 0; j < i; j++)
      sum += 2 * weight[i] * weight[j] * covariance((x[i] - x[j]) ** 2 + (y[i] - y[j]) ** 2);
  }
  return sum;
}
