/** What is compared in a field, as the season's sheet says it. */

/** Treatments side by side: strips drawn on the map, polygons of a file, or what was cut when. Exactly one of the three. */
export interface ComparisonSheet {
  /** Alone of its name in the season. */
  readonly name: string;
  readonly field: string;
  readonly strips?: readonly StripSheet[];
  readonly file?: TreatmentFileSheet;
  readonly spans?: readonly TreatmentSpan[];
  /** Points nearer to where their pass enters or leaves a strip do not count; `END_BUFFER_M` when absent. */
  readonly end_buffer_m?: number;
  /** Points whose cut comes nearer to a strip's side do not count; 0 when absent. */
  readonly side_buffer_m?: number;
  /** Chance of calling a difference real that is none, %; 5 when absent. */
  readonly alpha_pct?: number;
  /** A difference that would matter: how many replicates would show it. */
  readonly worthwhile_t_ha?: number;
}

/** One strip: one experimental unit. */
export interface StripSheet {
  readonly treatment: string;
  /** Pair or block that it belongs to, in the user's own words. */
  readonly replicate?: string;
  /** Corners, [longitude, latitude] in degrees, the first not repeated; even–odd rule. */
  readonly rings: readonly (readonly (readonly [number, number])[])[];
}

/** A GeoJSON file of the season folder whose polygons say what was done where. */
export interface TreatmentFileSheet {
  readonly path: string;
  /** Property that holds the treatment. */
  readonly treatment: string;
  /** Property that holds pair or block. */
  readonly replicate?: string;
}

/** What was cut from … to …, by one machine or all: each pass, or passes one after the other, is one strip. */
export interface TreatmentSpan {
  readonly treatment: string;
  readonly machine?: string;
  readonly replicate?: string;
  readonly from?: string;
  readonly to?: string;
}
