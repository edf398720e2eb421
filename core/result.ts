/** What the chain hands to exports, report and window: the points of every field and what `summary.json` holds. */
import type {
  CalibrationDiagnostics,
  FieldUncertainty,
  Interval95,
  LoadProposal,
  MachineAgreement,
  Reconciliation,
} from './calibration-result.ts';
import type { ScreeningRule } from './season.ts';

/**
 * Points of one field, one row an interval between position fixes, over all machines in time order.
 * Yields are at the field's standard moisture; masses are wet (as harvested). NaN = absent.
 */
export interface FieldPoints {
  readonly field: string;
  readonly crop: string;
  /** Seconds from `SeasonResult.epoch_utc_s`: middle of the interval in which the ground was cut. */
  readonly t_s: Float64Array;
  /** Index into `SeasonResult.machines`. */
  readonly machine: Int32Array;
  /** Pass number within the machine, −1 when not cutting. */
  readonly pass: Int32Array;
  /** Index into `SeasonResult.loads`, −1 when the grain went into no known load. */
  readonly load: Int32Array;
  /** Middle of the swath, on the cutting line. */
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly east_m: Float64Array;
  readonly north_m: Float64Array;
  readonly heading_rad: Float64Array;
  readonly speed_m_s: Float64Array;
  readonly distance_m: Float64Array;
  readonly duration_s: Float64Array;
  readonly cut_width_m: Float64Array;
  /** Standard error of the cut width of a single point. */
  readonly width_se_m: Float64Array;
  readonly fresh_area_m2: Float64Array;
  readonly mass_kg: Float64Array;
  readonly mass_flow_kg_s: Float64Array;
  readonly volume_flow_m3_s: Float64Array;
  readonly moisture_pct: Float64Array;
  readonly yield_kg_m2: Float64Array;
  readonly yield_se_kg_m2: Float64Array;
  /** 0 kept; else 1 + index into `SCREENING_RULES`: the first rule in order that caught the point. */
  readonly screened_by: Uint8Array;
}

/** The rules in the order in which they are applied; the first that catches a point names the reason. */
export const SCREENING_RULES: readonly ScreeningRule[] = [
  'not_cutting',
  'outside_field',
  'no_fix',
  'by_hand',
  'ramp',
  'slow',
  'short_pass',
  'speed_jump',
  'narrow_cut',
  'flow_range',
  'moisture_range',
  'yield_limits',
  'local_outlier',
];

/** `summary.json`: scripts rely on these names, so that they only ever grow in number. `null` where a number does not exist. */
export interface Summary {
  readonly season: string;
  readonly generated_by: string;
  readonly inputs: readonly {
    readonly path: string;
    readonly sha256: string;
    readonly lines: number;
    readonly damage: Readonly<Record<string, number>>;
  }[];
  readonly fields: readonly FieldSummary[];
  readonly lags: readonly LagSummary[];
  readonly calibrations: readonly CalibrationSummary[];
  readonly machine_agreements?: readonly MachineAgreement[];
  readonly load_proposals?: readonly LoadProposal[];
  readonly mass_ledger: readonly LedgerRow[];
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
  readonly signals: readonly SignalSummary[];
  /** The sensor's health by machine and working day; absent where no log shows paddles. */
  readonly health?: readonly HealthDay[];
}

export interface FieldSummary {
  readonly name: string;
  readonly crop: string;
  readonly area_ha: number;
  readonly mean_yield_t_ha: number | null;
  readonly mean_yield_se_t_ha: number | null;
  readonly mean_yield_bu_ac: number | null;
  readonly uncertainty?: FieldUncertainty;
  readonly reconciled?: Reconciliation;
  readonly mass_wet_kg: number;
  readonly mass_std_kg: number;
  readonly moisture_pct: number | null;
  readonly standard_moisture_pct: number;
  readonly points: {
    readonly total: number;
    readonly kept: number;
    readonly screened: Readonly<Record<string, number>>;
  };
}

export interface LagSummary {
  readonly field: string;
  readonly machine: string;
  /** Pure transport lag; negative when the log was already shifted too far. */
  readonly transport_s: number | null;
  readonly mixing_s: number | null;
  readonly transport_se_s: number | null;
  /** How it was found, e.g. `ends_of_passes`, `neighbour_agreement`, `entered`, `as_logged`, `assumed`. */
  readonly method: string;
  /** Shift applied to the flow, s (transport + mean of the mixing). */
  readonly applied_s: number;
  /** Noise between neighbouring points that unsmearing added, as a factor; null when it was not asked for. */
  readonly unsmear_noise_gain: number | null;
  /** Whether unsmearing would make fine blocks of the map a fifth better; null where that cannot be told. */
  readonly unsmear_helps?: boolean | null;
  /** The second opinion, where both estimators could answer. */
  readonly neighbour_transport_s: number | null;
  /** Shift applied to the moisture, s; `moisture_method` says whether it was `entered`, found by `neighbour_agreement` or taken from the grain (`as_grain`). */
  readonly moisture_s?: number | null;
  readonly moisture_se_s?: number | null;
  readonly moisture_method?: string;
  /** Change of the transport lag for twice the usual flow, with the probability of so large a one by chance; `null` where that cannot be told. Not applied. */
  readonly lag_by_flow?: {
    readonly per_doubling_s: number;
    readonly se_s: number;
    readonly p: number;
    readonly gaps: number;
  } | null;
  /** What each estimator rests on; `null` where it could not tell. */
  readonly curve: {
    readonly ends_of_passes: LagCurveSummary | null;
    readonly neighbour_agreement: LagCurveSummary | null;
  };
}

/** What an estimator makes small, against the transport lag, rounded for reading. */
export interface LagCurveSummary {
  readonly best_s: number;
  /** Standard error of `best_s`. */
  readonly se_s: number;
  /** Gaps in cutting, or pairs of neighbouring points, that took part. */
  readonly count: number;
  readonly lag_s: readonly number[];
  /** Unexplained share of the flow, or disagreement of opposite passes over twice their variance. */
  readonly cost: readonly number[];
}

/** State of one machine's sensor and logger over the season, as the log shows it. */
export interface SignalSummary {
  readonly machine: string;
  readonly paddles: number;
  /** Median chain speed while running. */
  readonly chain_speed_m_s: number | null;
  /** Scatter of paddle periods about their running median, % (robust). */
  readonly period_jitter_pct: number | null;
  /** How much slower the chain runs under a full load than empty, %. */
  readonly slip_pct: number | null;
  readonly empty_level: {
    readonly method: string;
    /** Dark fraction of an empty paddle when the season began and ended, and by the paddle sheet. */
    readonly first: number | null;
    readonly last: number | null;
    readonly geometry: number | null;
    /** Spells in which it was read. */
    readonly spells: number;
    /** When it was read and what was found, at most some hundreds, evenly over the season; empty where it was not read. */
    readonly read_at_unix_s: readonly number[];
    readonly read: readonly number[];
  };
  /** Odd paddles of the chain: place, and what each adds to the empty level. */
  readonly odd_paddles: readonly { readonly place: number; readonly extra_dark_fraction: number }[];
  readonly missed: number;
  readonly hidden: number;
  readonly extra: number;
  readonly lit_gaps_bridged: number;
  readonly dark_blips_dropped: number;
  /** Thresholds of chatter by run, ms. */
  readonly bridge_lit_ms: readonly number[];
  readonly drop_dark_ms: readonly number[];
  readonly clock: readonly {
    readonly drift_ppm: number;
    readonly delay_ms: number;
    readonly leaps: number;
    readonly outliers: number;
  }[];
}

/** One machine's sensor on one working day. Lengths are mm of chain. */
export interface HealthDay {
  readonly machine: string;
  /** Calendar day at the machine, `2026-09-14`. */
  readonly day: string;
  readonly pitch_mm: number;
  /** Of the day's points, as mapped or screened. */
  readonly mass_kg: number;
  readonly paddles: number;
  /** Share of the pitch that heaps take up, mean over loaded paddles. */
  readonly mean_fill: number | null;
  /** Empty level as measured on the day, and as used in its middle. */
  readonly empty_mm: number | null;
  readonly used_empty_mm: number | null;
  readonly period_ms: number | null;
  readonly jitter_pct: number | null;
  /** Scatter of single heaps about their neighbours. */
  readonly noise_mm: number | null;
  readonly missed_per_1000: number | null;
  /** Places on the chain, from 0, that were missed round after round. */
  readonly missing_places: readonly number[];
  readonly alerts: readonly HealthAlert[];
}

/** What of a day's health matters for yield. */
export interface HealthAlert {
  readonly code: string;
  readonly verdict: 'look' | 'mend';
  readonly text: string;
  /** Error of the day's yields that it makes, or would make uncorrected, %; 0 where it only blurs. */
  readonly effect_pct: number;
  readonly effect_kg: number;
}

export interface LoadSummary {
  readonly ticket: string;
  readonly scale_kg: number;
  readonly predicted_kg: number | null;
  readonly error_pct: number | null;
  readonly loo_error_pct: number | null;
  readonly studentised_residual: number | null;
  readonly used: boolean;
  readonly flagged: boolean;
  readonly why: string;
  readonly mean_flow_kg_s: number | null;
  readonly leverage: number | null;
  readonly cooks_distance: number | null;
  /** 95 % interval for such a load by the others, kg. */
  readonly expected_95_kg?: Interval95 | null;
  readonly moisture_pct?: number | null;
  readonly test_weight_kg_hl?: number | null;
}

export interface CalibrationSummary {
  readonly machine: string;
  readonly crop: string;
  /** Variety or period whose loads these are, where the sheet asks for calibrations by either. */
  readonly group?: string;
  /** `gain`, `gain_zero`, `gain_curvature`, `gain_moisture`, `gain_test_weight`, `carried_over` or `uncalibrated`. */
  readonly model: string;
  readonly coefficients: Readonly<Record<string, number>>;
  readonly standard_errors: Readonly<Record<string, number>>;
  readonly r2: number | null;
  readonly fit_rmse_pct: number | null;
  readonly loo_rmse_pct: number | null;
  readonly loads: readonly LoadSummary[];
  readonly diagnostics?: CalibrationDiagnostics;
}

export interface LedgerRow {
  readonly field: string;
  readonly machine: string;
  readonly beam_kg: number;
  readonly mapped_kg: number;
  readonly screened_kg: Readonly<Record<string, number>>;
  readonly outside_field_kg: number;
  readonly not_cutting_kg: number;
}

/** A load as shown to the user: its ticket and when its grain passed the beam. */
export interface LoadSpan {
  readonly ticket: string;
  readonly start_s: number;
  readonly end_s: number;
}

export interface SeasonResult {
  readonly epoch_utc_s: number;
  readonly machines: readonly string[];
  readonly loads: readonly LoadSpan[];
  readonly points: readonly FieldPoints[];
  /** As `points`: rings of the field's boundary in its plane, interleaved east, north, m; none where it has no boundary. */
  readonly outlines: readonly (readonly Float64Array[])[];
  readonly summary: Summary;
}
