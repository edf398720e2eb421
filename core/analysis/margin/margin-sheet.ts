/** Prices and costs as the season's sheet has them. Each may be given a tonne or a bushel, a hectare or an acre: as the user types it. */

export interface MarginSheet {
  /** `$`, `€`: written beside every sum. */
  readonly currency?: string;
  readonly prices?: readonly PriceSheet[];
  readonly costs?: readonly CostSheet[];
}

/** Of one crop; of each pair of keys one at most. */
export interface PriceSheet {
  readonly crop: string;
  /** For grain at the moisture at which it is sold. */
  readonly price_per_t?: number;
  readonly price_per_bu?: number;
  /** Moisture at which it is sold; the crop's market moisture when absent. */
  readonly sold_at_moisture_pct?: number;
  /** For each point of moisture above that, on the wet mass. */
  readonly drying_per_point_t?: number;
  readonly drying_per_point_bu?: number;
  /** On the wet mass. */
  readonly hauling_per_t?: number;
  readonly hauling_per_bu?: number;
  /** Dry-matter shrink when absent. */
  readonly shrink?: ShrinkSheet;
}

/** `dry_matter`: the dry matter kept; `policy`: a buyer's rule, so many % of the wet mass a point, and for handling. */
export interface ShrinkSheet {
  readonly method: 'dry_matter' | 'policy';
  readonly per_point_pct?: number;
  readonly handling_pct?: number;
}

/** A cost of the ground (seed, fertiliser …); it counts where everything fits that is given. */
export interface CostSheet {
  readonly name: string;
  readonly per_ha?: number;
  readonly per_ac?: number;
  readonly crop?: string;
  readonly field?: string;
  /** Of a comparison: this treatment alone. */
  readonly treatment?: string;
}
