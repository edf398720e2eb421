/** What a season sheet says about calibration (`settings.calibration`). */

/** What the user decided about one load, by ticket. */
export interface LoadChoice {
  readonly ticket: string;
  /** true: use it although it is flagged; false: set it aside. */
  readonly use: boolean;
}

/** Curves of a calibration, simplest first; `gain_moisture` wants moisture on every ticket, `gain_test_weight` a test weight. */
export const CALIBRATION_MODELS = [
  'gain',
  'gain_zero',
  'gain_curvature',
  'gain_moisture',
  'gain_test_weight',
] as const;
export type CalibrationModel = (typeof CALIBRATION_MODELS)[number];

/** Start and end of a ticket's load as corrected by hand, in place of those on the ticket or for one that has none. */
export interface LoadSpanSheet {
  readonly ticket: string;
  readonly start_utc: string;
  readonly end_utc: string;
}

/** A gain that is known before any load is weighed: last season's, carried over. */
export interface PriorSheet {
  /** Of which machine and crop; of all where absent. */
  readonly machine?: string;
  readonly crop?: string;
  /** Scale over beam. */
  readonly factor: number;
  /** How far this season's may be from it, one standard error, %. */
  readonly se_pct: number;
  /** Where it comes from, in words. */
  readonly from: string;
}

/** What a field, or several together, were settled at. */
export interface SettlementSheet {
  readonly fields: readonly string[];
  readonly settlement_kg: number;
  /** Whether the settled mass is at each field's standard moisture (when absent) or as harvested. */
  readonly moisture?: 'standard' | 'as_harvested';
}

/** One machine made to agree with another over the borders that they share. */
export interface AgreementSheet {
  readonly machine: string;
  readonly with: string;
}

/** Loads of one machine and crop calibrated apart. */
export interface GroupsSheet {
  /** By the variety of the fields that they come from, or by when they were cut. */
  readonly by: 'variety' | 'period';
  /** Where one period ends and the next begins. */
  readonly splits_utc?: readonly string[];
}

export interface CalibrationSheet {
  readonly model?: 'auto' | CalibrationModel;
  readonly loads?: readonly LoadChoice[];
  readonly spans?: readonly LoadSpanSheet[];
  readonly prior?: readonly PriorSheet[];
  readonly settlements?: readonly SettlementSheet[];
  readonly agreements?: readonly AgreementSheet[];
  readonly groups?: GroupsSheet;
}
