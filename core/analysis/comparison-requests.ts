/** What the window asks of the host about comparisons, and what it gets. */
import type { ComparisonSheet, TreatmentFileSheet } from './comparison/comparison-sheet.ts';
import type { TreatmentChoices } from './comparison/treatment-file.ts';
import type { SeasonComparisons } from './season-comparisons.ts';
import type { StabilitySheet } from './seasons/stability-sheet.ts';

/** Made of the points of the last build, by the comparisons, prices and units of the sheet as it stands. */
export interface ComparisonsReply extends SeasonComparisons {
  readonly build: string;
  /** Of the document that the points were made from. */
  readonly built_revision: string;
}

export type TreatmentChoicesReply = TreatmentChoices;

export interface TreatmentsBody {
  /** The revision that the user saw. */
  readonly revision: string;
  /** Of `uploadFile`. */
  readonly upload: string;
  /** The comparison that it is for, its file without the path; one of that name is replaced. */
  readonly comparison: Omit<ComparisonSheet, 'strips' | 'spans' | 'file'> & {
    readonly file: Omit<TreatmentFileSheet, 'path'>;
  };
}

/** Seasons of one field, by the absolute paths of their folders. */
export interface StabilityBody {
  readonly folders: readonly string[];
  /** Its name in one of them; in the others it is found by that or by its ground. */
  readonly field: string;
  /** What goes before the first season's own `settings.seasons`. */
  readonly sheet?: StabilitySheet;
  /** `out`: also writes stability.geojson, .csv and .json into the first season's `out/`. */
  readonly write?: 'out';
}

/**
 * What the block of `readStability` is about. Its columns are `cell`, `longitude_deg` and `latitude_deg` of its middle, `mean_pct`,
 * `cv_pct`, `seasons`, `class` (place in `STABILITY_CLASSES`), and `season_1_pct` … in the order of the figures' seasons.
 */
export interface StabilityAbout {
  readonly field: string;
  readonly cell_m: number;
  readonly columns: number;
  readonly rows: number;
  readonly west_m: number;
  readonly south_m: number;
  /** JSON text of `SurfaceCorners`: where the grid's corners are. */
  readonly corners: string;
  /** JSON text of `StabilityFigures`. */
  readonly figures: string;
  /** JSON text of the notices: which seasons were left out. */
  readonly notices: string;
}
