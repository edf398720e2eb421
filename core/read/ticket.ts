/** Units in which a scale prints weights; `ston` is the US ton of 2000 lb. */
export type WeightUnit = 'kg' | 'lb' | 't' | 'ston';

/** One scale ticket as read, SI, before it is matched to grain (`calibrate/loads.ts`). NaN = absent. */
export interface Ticket {
  readonly ticket: string;
  readonly field?: string;
  readonly machine?: string;
  /** Unix seconds UTC; NaN when the ticket stands for the whole field. */
  readonly start_utc_s: number;
  readonly end_utc_s: number;
  readonly gross_kg: number;
  readonly tare_kg: number;
  /** As printed, else gross − tare; NaN when neither is there. */
  readonly net_kg: number;
  /** Unit of the column that the net (else the gross) weight was read from; absent when tickets come from elsewhere. */
  readonly written_in?: WeightUnit;
  readonly moisture_pct: number;
  /** Bulk density as weighed at the scale, kg/m³ (10 × kg/hL). */
  readonly bulk_density_kg_m3: number;
  readonly source: string;
  /** 1-based line in `source`. */
  readonly line: number;
}
