import { moistureFactor } from './moisture.ts';

/**
 * Bulk density that grain weighed at one moisture has after drying to another, [Hellevang1995]:
 * `ρ_dry = ρ_wet (100 − M_dry)/(100 − M_wet)`: the heap loses volume faster than mass. The opposite way for wetting.
 * A rule of thumb: varieties differ, and [Miles1937] measured about 0.48 lb/bu (6.2 kg/m³) a point for corn, where
 * this gives 0.7 near 20 %. Within 3 points or so of the weighing.
 */
export function bulkDensityAtMoisture(
  density_kg_m3: number,
  moisture_pct: number,
  target_moisture_pct: number,
): number {
  return density_kg_m3 * moistureFactor(target_moisture_pct, moisture_pct);
}
