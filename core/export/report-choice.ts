/** What someone wants reported: the same words on the command line and in the window. */
import type { Notice } from '../errors.ts';
import type { UnitSystem } from './report/figures.ts';
import type { Paper } from './sheets/sheet-page.ts';

/** What reports are written as, named by the ends of their files. */
export const REPORT_FORMATS = ['html', 'pdf'] as const;

export type ReportFormat = (typeof REPORT_FORMATS)[number];

export interface ReportChoice {
  /** Names of the fields that get a report of their own. */
  readonly fields: 'all' | readonly string[];
  /** Whether there is to be one over all fields, too. */
  readonly season: boolean;
  readonly formats: readonly ReportFormat[];
  /** The season's own when absent. */
  readonly units?: UnitSystem;
  /** Of the PDF: Letter for US units, A4 for metric when absent. HTML fits both. */
  readonly paper?: Paper;
  /** What maps show; surfaces when absent, and swaths for fields that have none. */
  readonly map?: 'surface' | 'swaths';
}

/** What came of it. */
export interface ReportReply {
  /** Inside the season folder, in the order in which they were asked for; `readFile` gives them. */
  readonly files: readonly { readonly path: string; readonly bytes: number }[];
  /** Fields without a surface, and why. */
  readonly notices: readonly Notice[];
}
