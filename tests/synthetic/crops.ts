/**
 * The simulator's own crop constants, kept apart from the program's on purpose: a wrong number in one must not
 * be hidden by the same wrong number in the other.
 */

export interface SimulatedCrop {
  /** Market moisture, % wet basis. */
  readonly standard_moisture_pct: number;
  /** Bulk density as harvested, kg/m³. */
  readonly bulk_density_kg_m3: number;
}

/**
 * Standard moistures: Univ. of Wisconsin Extension "HarvestMath101" (corn 15.5, soybeans 13, wheat 13.5, barley 14.5).
 * Bulk densities: legal weight of the US bushel × 12.8718597810 kg/m³ per lb/bu (56, 60, 60, 48 lb), rounded.
 */
export const SIMULATED_CROPS = {
  corn: { standard_moisture_pct: 15.5, bulk_density_kg_m3: 721 },
  soybeans: { standard_moisture_pct: 13, bulk_density_kg_m3: 772 },
  wheat: { standard_moisture_pct: 13.5, bulk_density_kg_m3: 772 },
  barley: { standard_moisture_pct: 14.5, bulk_density_kg_m3: 618 },
} as const satisfies Record<string, SimulatedCrop>;

/** Crops that can be simulated. */
export type SimulatedCropName = keyof typeof SIMULATED_CROPS;
