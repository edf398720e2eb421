/** What really happened in a simulated season. */

import type { LineArtefacts } from './file-damage.ts';
import type { BlockTruth } from './ground.ts';
import type { LabelledSpan } from './labelled-spans.ts';
import type { TicketTruth } from './scale-tickets.ts';

/** The truth of a season: what `simulate` returns beside the files. */
export interface SeasonTruth {
  readonly fields: readonly FieldTruth[];
  readonly machines: readonly MachineTruth[];
  /** Tickets in file order. */
  readonly tickets: readonly TicketTruth[];
  readonly balance: MassBalance;
}

/** One field. */
export interface FieldTruth {
  readonly name: string;
  readonly crop: string;
  /** Fresh ground cut, whoever cut it. */
  readonly area_m2: number;
  /** Ground with crop on it before the first pass: the raster of the polygon. */
  readonly standing_m2: number;
  /** Of what was cut, as it was. */
  readonly mass_wet_kg: number;
  /** Of what was cut, brought to the field's standard moisture. */
  readonly mass_std_kg: number;
  /** Mass-weighted, % wet basis. */
  readonly moisture_pct: number;
  readonly standard_moisture_pct: number;
  readonly bulk_density_kg_m3: number;
  /** Origin of `blockFrame(lon0, lat0)`, in which `blocks_10m` lie. */
  readonly frame: { readonly lon0: number; readonly lat0: number };
  readonly corners: readonly (readonly [number, number])[];
  readonly blocks_10m: BlockTruth;
  /** By machine, in the scene's order. */
  readonly machines: readonly FieldMachineTruth[];
}

/** One machine's share of one field and of its log. */
export interface FieldMachineTruth {
  readonly id: string;
  readonly area_m2: number;
  /** Artefacts by time of cutting. */
  readonly labels: readonly LabelledSpan[];
  /** Fresh ground cut in each second of the log. */
  readonly fresh_m2_by_s: Float64Array;
  readonly entered_kg: number;
  /** Dry matter cut by each step of `STEP_S` since the log's start, running total; one more than there are steps. */
  readonly cut_dry_kg: Float64Array;
  /** Wet mass that passed the beam while the log ran. */
  readonly passed_kg: number;
  readonly remained_kg: number;
  readonly paddles: number;
  /** Paddles whose heap reached the paddle above, so that the beam stayed dark. */
  readonly full_paddles: number;
  readonly log_start_utc_s: number;
  readonly log_end_utc_s: number;
  readonly artefacts: LogArtefacts;
}

/** Counts of what was put into a log. */
export interface LogArtefacts extends LineArtefacts {
  readonly chatterGaps: number;
  readonly chatterBlips: number;
  readonly missingEdges: number;
  /** Spells without a fix, Unix seconds [from, to). */
  readonly dropouts_utc_s: readonly (readonly [number, number])[];
}

/** What stays the same for a machine all season. */
export interface MachineTruth {
  readonly id: string;
  readonly transport_s: number;
  readonly mixing_s: number;
  readonly chain_count: number;
  /** Place on the chain (paddle number from the log's start modulo count) and extra dark length; −1 and 0 when none is bent. */
  readonly bent_index: number;
  readonly bent_mm: number;
  readonly shape_factor: number;
  readonly shape_bend: number;
  readonly drift_ppm: number;
  /** Dark fraction of an empty, straight paddle at moments a minute apart while the log ran. */
  readonly empty_level: { readonly utc_s: Float64Array; readonly dark_fraction: Float64Array };
}

/** Wet mass of all machines and fields: entered = passed + remained. */
export interface MassBalance {
  readonly entered_kg: number;
  readonly passed_kg: number;
  readonly remained_kg: number;
}
