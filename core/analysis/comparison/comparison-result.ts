/** What comes of a comparison: plain data for window, command and report. Yields at standard moisture, t/ha; `null` where a number does not exist. */
import type { LeftOut } from './strip-points.ts';

export interface FieldComparison {
  readonly name: string;
  readonly field: string;
  readonly crop: string;
  readonly design: ComparisonDesign;
  readonly end_buffer_m: number;
  readonly side_buffer_m: number;
  readonly alpha_pct: number;
  /** In the order of the sheet or the file. */
  readonly strips: readonly ComparedStrip[];
  /** From the highest mean to the lowest. */
  readonly treatments: readonly ComparedTreatment[];
  /** `null` where strips are too few for any test; `told` then says what is missing. */
  readonly test: ComparisonTest | null;
  /** Of every two treatments, the higher first. */
  readonly differences: readonly TreatmentDifference[];
  readonly power: ComparisonPower | null;
  /** Points on ground of the field that belongs to no strip. */
  readonly points_elsewhere: number;
  /** Common to all yields of the field, so that it is not in the differences: % of the yields. */
  readonly calibration_se_pct: number | null;
  /** What follows, in sentences. */
  readonly told: readonly string[];
  /** What stands against it, in sentences. */
  readonly cautions: readonly string[];
}

export interface ComparisonDesign {
  readonly kind: 'pairs' | 'blocks' | 'unpaired' | 'one_treatment';
  /** Who says which strips belong together: the sheet, or that they lie side by side. */
  readonly blocks_from: 'sheet' | 'layout' | null;
  readonly blocks: readonly string[];
  /** Which strips are experimental units, and why. */
  readonly about: string;
}

export interface ComparedStrip {
  readonly treatment: string;
  /** Pair or block. */
  readonly block: string | null;
  readonly machines: readonly string[];
  readonly points: number;
  readonly effective_points: number | null;
  readonly left_out: LeftOut;
  readonly area_ha: number;
  readonly mass_wet_kg: number;
  readonly mass_std_kg: number;
  readonly moisture_pct: number | null;
  readonly yield_t_ha: number | null;
  /** By the ground alone, with what its points share; without the error of the calibration. */
  readonly yield_se_t_ha: number | null;
}

export interface ComparedTreatment {
  readonly treatment: string;
  readonly strips: number;
  readonly area_ha: number;
  readonly moisture_pct: number | null;
  /** Mean of its strips, each counting once; adjusted where blocks lack it. */
  readonly yield_t_ha: number;
  /** By the scatter of strips; `null` without a test. */
  readonly se_t_ha: number | null;
  /** Treatments that share a letter cannot be told apart. */
  readonly letters: string | null;
}

export interface ComparisonTest {
  readonly kind: 'paired_t' | 'welch_t' | 'randomised_blocks' | 'one_way';
  /** Rows of the analysis of variance; none for Welch's test. */
  readonly anova: readonly AnovaRow[];
  /** Of all treatments at once. */
  readonly p: number;
  /** Coefficient of variation: scatter of strips, as % of the mean. */
  readonly cv_pct: number | null;
  /** Least significant difference, where it is the same for all pairs; else of the mean pair. */
  readonly lsd_t_ha: number | null;
  readonly degrees_of_freedom: number;
}

export interface AnovaRow {
  readonly source: 'blocks' | 'treatments' | 'error';
  readonly df: number;
  readonly sum_of_squares: number;
  readonly mean_square: number | null;
  readonly f: number | null;
  readonly p: number | null;
}

export interface TreatmentDifference {
  readonly higher: string;
  readonly lower: string;
  readonly difference_t_ha: number;
  readonly se_t_ha: number | null;
  readonly df: number | null;
  readonly t: number | null;
  /** Probability of so large a difference by chance alone. */
  readonly p: number | null;
  /** Holds the true difference with probability 1 − alpha. */
  readonly interval_t_ha: readonly [number, number] | null;
  readonly can_be_told: boolean;
}

export interface ComparisonPower {
  /** Probability of seeing it. */
  readonly power: number;
  readonly replicates: number;
  /** Least difference that such a trial sees so often. */
  readonly least_detectable_t_ha: number;
  /** How many replicates would show these differences so often; `null` for more than anyone lays out. */
  readonly needed: readonly { readonly difference_t_ha: number; readonly replicates: number | null }[];
  /** Probability that the F test of all treatments sees the first of them, were it between two and the others midway. */
  readonly f_power: number | null;
}
