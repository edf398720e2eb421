/**
 * The season document: choices and references, never samples. One small frozen JSON value, stored as
 * `season.json` in the season folder (decoded, checked and encoded by `season-file.ts`).
 * Every length, mass and time carries its unit in its name.
 */
import type { ComparisonSheet } from './analysis/comparison/comparison-sheet.ts';
import type { MarginSheet } from './analysis/margin/margin-sheet.ts';
import type { StabilitySheet } from './analysis/seasons/stability-sheet.ts';
import type { CalibrationSheet } from './calibration-sheet.ts';
import type { SurfaceSheet } from './surface/surface-sheet.ts';

export type { LoadChoice } from './calibration-sheet.ts';

/** What one paddle looks like and how the paddles follow each other on the chain, mm as measured with a rule. */
export interface PaddleSheet {
  readonly pitch_mm: number;
  readonly width_mm: number;
  readonly depth_mm: number;
  readonly thickness_mm: number;
  /** Paddles on the whole chain; needed for the chain signature. */
  readonly count?: number;
}

/** Where the beam crosses the column. */
export interface BeamSheet {
  /** Above the centre of the lower shaft. */
  readonly above_lower_shaft_mm?: number;
  /** Distance from the column's back; the middle of the paddle when absent. */
  readonly from_back_mm?: number;
  /** Height of the beam itself; adds to the paddle thickness in the empty level. */
  readonly height_mm?: number;
}

export interface AntennaSheet {
  /** Positive when the antenna is ahead of the cutting line. */
  readonly ahead_of_cut_m: number;
  /** Positive to the right of travel, from the header's middle. */
  readonly right_of_centre_m: number;
}

export interface HeaderSheet {
  readonly width_m: number;
  readonly rows?: number;
}

export interface MachineSheet {
  readonly id: string;
  readonly name: string;
  /** Needed for beam and tally logs; logs that carry a flow do without. */
  readonly paddle?: PaddleSheet;
  readonly beam?: BeamSheet;
  readonly antenna?: AntennaSheet;
  readonly header: HeaderSheet;
  /** Keys whose content was guessed on import and that nobody has confirmed, e.g. `header.width_m`. */
  readonly unconfirmed?: readonly string[];
}

export interface FieldSheet {
  readonly name: string;
  /** A crop of `grain.ts` or of the season's own `crops`. */
  readonly crop: string;
  /** Variety or hybrid, in the grower's own words. */
  readonly variety?: string;
  /** GeoJSON file inside the season folder; without it the field is what was cut. */
  readonly boundary?: string;
  /** % wet basis; the crop's market moisture when absent. */
  readonly standard_moisture_pct?: number;
  /** % wet basis, for logs without a moisture sensor and tickets without moisture. */
  readonly moisture_pct?: number;
  /** Keys whose content was guessed on import and that nobody has confirmed, e.g. `crop`. */
  readonly unconfirmed?: readonly string[];
}

/** A crop that `grain.ts` does not know, or other numbers for one that it does. */
export interface CropSheet {
  readonly name: string;
  readonly bushel_lb?: number;
  readonly standard_moisture_pct?: number;
  readonly bulk_density_kg_m3?: number;
}

export interface LogSheet {
  readonly machine: string;
  readonly files: readonly string[];
  /** Field that these files belong to; needed only where fields have no boundary. */
  readonly field?: string;
  /** Id of the column mapping for delimited text. */
  readonly mapping?: string;
  /** UTC of tick zero, for beam files whose fixes share no ticks with them. */
  readonly tick_zero_utc?: string;
}

/** Quantities that a column of delimited text can hold. */
export type MappedQuantity =
  | 'longitude'
  | 'latitude'
  | 'time'
  | 'date'
  | 'clock_time'
  | 'interval'
  | 'mass_flow'
  | 'volume_flow'
  | 'mass'
  | 'distance'
  | 'speed'
  | 'swath'
  | 'heading'
  | 'moisture'
  | 'altitude'
  | 'header_state'
  | 'fix_quality'
  | 'field';

export interface MappedColumn {
  readonly quantity: MappedQuantity;
  /** Header text of the column, or its number from 1 for files without a header. */
  readonly column: string | number;
  /** Unit word, e.g. `lb/s`, `in`, `deg`, `iso`, `unix_s`; the quantity's SI unit when absent. */
  readonly unit?: string;
}

/** How to read one kind of delimited text. */
export interface ColumnMappingSheet {
  readonly id: string;
  readonly delimiter?: ',' | ';' | '\t' | ' ' | '|';
  readonly decimal?: '.' | ',';
  readonly has_header?: boolean;
  /** Offset of clock times without one, e.g. `+02:00`; UTC when absent. */
  readonly utc_offset?: string;
  /** Names of all columns of the table that it was made for: how the next file of that kind is known. */
  readonly header?: string;
  readonly columns: readonly MappedColumn[];
}

/** A lag entered by hand, for a field, a machine, or both. */
export interface LagSheet {
  readonly field?: string;
  readonly machine?: string;
  readonly transport_s?: number;
  readonly mixing_s?: number;
  readonly moisture_s?: number;
}

export type ScreeningRule =
  | 'no_fix'
  | 'outside_field'
  | 'not_cutting'
  | 'ramp'
  | 'slow'
  | 'speed_jump'
  | 'narrow_cut'
  | 'yield_limits'
  | 'by_hand'
  | 'short_pass'
  | 'flow_range'
  | 'moisture_range'
  | 'local_outlier';

/**
 * What somebody left out by hand: the points that meet everything which is given here. Kept as place and time, not as
 * numbers of points, so that it means the same after every recomputation.
 */
export interface Exclusion {
  readonly field?: string;
  readonly machine?: string;
  /** Corners of the ground, [longitude, latitude] in degrees; the last one joins the first. */
  readonly around?: readonly (readonly [number, number])[];
  /** Ground cut from … to … */
  readonly from?: string;
  readonly to?: string;
  /** The user's own words. */
  readonly why?: string;
}

/** A rule's switch and numbers; anything absent keeps its default (see `screen/rules.ts`). */
export interface RuleSheet {
  readonly on?: boolean;
  readonly [number: string]: number | boolean | undefined;
}

export interface SettingsSheet {
  readonly signal?: {
    /** Lit gaps shorter than this inside a dark run are bridged; found from the data when absent. */
    readonly bridge_lit_ms?: number;
    /** Dark blips shorter than this are dropped; found from the data when absent. */
    readonly drop_dark_ms?: number;
    /** Empty level as a dark fraction; found from the data when absent. */
    readonly empty_level?: number;
  };
  readonly lags?: readonly LagSheet[];
  /** Put grain back to when it was cut, beyond the plain shift; off unless asked for. */
  readonly unsmear?: { readonly on?: boolean; readonly iterations?: number };
  readonly cut_width?: { readonly whole_rows?: boolean; readonly from?: 'ground' | 'log' };
  readonly point_interval_s?: number;
  readonly screening?: { readonly [rule in ScreeningRule]?: RuleSheet };
  readonly exclusions?: readonly Exclusion[];
  readonly calibration?: CalibrationSheet;
  readonly surface?: SurfaceSheet;
  readonly margin?: MarginSheet;
  readonly seasons?: StabilitySheet;
}

/** A file as it was when it was copied in: what it is checked against ever after. */
export interface FileRecord {
  /** Inside the season folder, e.g. `logs/combine.log`. */
  readonly path: string;
  /** Of the bytes on the disk, 64 hex digits. */
  readonly sha256: string;
  readonly bytes: number;
  readonly imported_utc: string;
  /** What the file was called where it came from, without its folder. */
  readonly source_name: string;
}

export interface Season {
  readonly format: 'sheaflight-season/1';
  readonly name: string;
  /** Whose grain it is, in the user's own words: stands on reports that are handed on. */
  readonly grower?: string;
  /** Display and export choice only; everything inside is SI. */
  readonly units?: 'us' | 'metric';
  readonly machines: readonly MachineSheet[];
  readonly fields: readonly FieldSheet[];
  readonly crops?: readonly CropSheet[];
  readonly logs: readonly LogSheet[];
  readonly tickets?: readonly string[];
  readonly mappings?: readonly ColumnMappingSheet[];
  /** Treatments side by side. */
  readonly comparisons?: readonly ComparisonSheet[];
  readonly settings?: SettingsSheet;
  /** Files that were copied in by the program; files put there by hand have no record. */
  readonly files?: readonly FileRecord[];
}
