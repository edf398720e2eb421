/** What the window asks of the host about comparisons, and what it gets. */
import type { ComparisonSheet, TreatmentFileSheet } from './comparison/comparison-sheet.ts';
import type { TreatmentChoices } from './comparison/treatment-file.ts';
import type { SeasonComparisons } from './season-comparisons.ts';

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
