/** What `summary.json` says beyond the contract's own keys about calibration and its uncertainty. `null` where a number does not exist. */

/** Lower and upper end of a 95 % interval. */
export type Interval95 = readonly [number, number];

/** How well a field's totals are known. */
export interface FieldUncertainty {
  /** One standard error, as harvested and at standard moisture, kg. */
  readonly mass_wet_se_kg: number | null;
  readonly mass_std_se_kg: number | null;
  readonly mass_wet_95_kg: Interval95 | null;
  readonly mass_std_95_kg: Interval95 | null;
  readonly mean_yield_95_t_ha: Interval95 | null;
  /** What the standard errors are made of, % of the total; the area counts for the mean yield only. */
  readonly parts_pct: {
    readonly calibration: number | null;
    readonly moisture: number | null;
    readonly area: number | null;
  };
}

/** A field whose mass was scaled after the calibration; its pattern is unchanged. */
export interface Reconciliation {
  /** Fields settled together, and at what. */
  readonly fields: readonly string[];
  readonly settlement_kg: number;
  readonly moisture: 'standard' | 'as_harvested';
  /** Settlement over the total by the loads of all those fields. */
  readonly factor: number;
  /** This field's totals by the loads, before. */
  readonly mass_wet_kg: number;
  readonly mass_std_kg: number;
}

/** Two machines of one crop along the ground where they cut side by side. */
export interface MachineAgreement {
  readonly crop: string;
  readonly machine: string;
  readonly with: string;
  /** Yield of `machine` over that of `with`, with its standard error; NaN-free. */
  readonly ratio: number;
  readonly ratio_se: number;
  /** Neighbouring points compared, and passes of `machine` that they lie in. */
  readonly pairs: number;
  readonly passes: number;
  /** Whether they differ by more than chance and by enough to matter. */
  readonly proposed: boolean;
  /** Factor by which the mass of `machine` was multiplied, where the sheet asks for it; 1 else. */
  readonly applied_factor: number;
}

/** One load model on the loads in use. */
export interface ModelPrice {
  readonly model: string;
  readonly fit_rmse_pct: number | null;
  readonly loo_rmse_pct: number | null;
}

/** How a load's error by the others goes with something else of it: change in % a unit, its standard error, t. */
export interface ResidualSlope {
  readonly against: 'time_d' | 'flow_kg_s' | 'moisture_pct' | 'test_weight_kg_hl';
  readonly slope_pct: number;
  readonly se_pct: number;
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
}

/** What a calibration's loads allow, beyond the fit. */
export interface CalibrationDiagnostics {
  readonly recommended_model: string | null;
  readonly models: readonly ModelPrice[];
  readonly degrees_of_freedom: number | null;
  /** 95 % confidence intervals of the coefficients. */
  readonly confidence_95: Readonly<Record<string, Interval95>>;
  /** Half of the 95 % interval for the error of a new load of usual size, % of it. */
  readonly prediction_95_pct: number | null;
  /** Half of the 95 % interval of the fit itself at each load in use, % of the load, by its mean flow. */
  readonly confidence_band?: readonly { readonly flow_kg_s: number; readonly half_pct: number }[];
  /** The gain by estimators that wrong loads pull less. */
  readonly huber_k: number | null;
  readonly median_ratio: number | null;
  /** Theil–Sen slope of scale mass against beam mass. */
  readonly theil_sen_k: number | null;
  /** Whether every load in use had a test weight, so that the gain is one of the machine and not of the crop. */
  readonly dimensionless: boolean;
  readonly prior: { readonly factor: number; readonly se_pct: number; readonly from: string } | null;
  /** Flows for which the loads in use speak: from the least lower to the greatest upper quartile of their points' flows. */
  readonly covered_flow_kg_s: readonly [number, number] | null;
  /** Kept points whose flow lies outside, and their grain, %. */
  readonly outside_points_pct: number | null;
  readonly outside_grain_pct: number | null;
  readonly residual_slopes: readonly ResidualSlope[];
  /** Standard error from the calibration of a total that no scale weighs: with these loads, and with more at the flow that helps most, %. */
  readonly enough_loads: readonly { readonly loads: number; readonly total_se_pct: number }[];
  /** Flow while cutting at which the next load says most. */
  readonly next_flow_kg_s: number | null;
}

/** Times that the log proposes for a ticket that has none, or whose own fall where no grain passed. */
export interface LoadProposal {
  readonly ticket: string;
  /** Empty where the ticket names none. */
  readonly machine: string;
  readonly field: string;
  readonly start_utc: string;
  readonly end_utc: string;
  /** How far scale and beam of the proposed loads scatter about their common ratio, %; null where only times were moved. */
  readonly scatter_pct: number | null;
  /** What in the log speaks for it. */
  readonly evidence: string;
}
