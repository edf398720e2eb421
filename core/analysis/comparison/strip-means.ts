/** Mean of each strip: kilograms over square metres of the points that count. */
import type { FieldPoints } from '../../result.ts';

export interface StripMean {
  readonly points: number;
  readonly area_m2: number;
  /** At standard moisture. */
  readonly mass_std_kg: number;
  readonly mass_wet_kg: number;
  readonly yield_kg_m2: number;
  readonly moisture_pct: number;
  readonly middle_east_m: number;
  readonly middle_north_m: number;
  /** Machines by their place in the season's result. */
  readonly machines: readonly number[];
}

/** Of the rows of one strip. */
export function stripMean(points: FieldPoints, rows: Int32Array): StripMean {
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
  return {
    points: rows.length,
    area_m2,
    mass_std_kg,
    mass_wet_kg,
    yield_kg_m2: mass_std_kg / area_m2,
    moisture_pct: water_kg / weighed_kg,
    middle_east_m: east / area_m2,
    middle_north_m: north / area_m2,
    machines: [...machines].sort((a, b) => a - b),
  };
}
