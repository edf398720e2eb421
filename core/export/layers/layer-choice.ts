/** What someone wants exported: the same words on the command line, in the window and in what is remembered. */
import type { Notice } from '../../errors.ts';
import type { FormatName } from '../formats/format-list.ts';
import type { LayerKind } from './layer.ts';

/** All of them, in the order in which they are offered. */
export const LAYER_KINDS: readonly LayerKind[] = ['points', 'swaths', 'cells', 'zones'];

/** Units of everything in a layer; every column has them in its name. */
export type LayerUnits = 'metric' | 'us';

export interface LayerExportChoice {
  readonly layers: readonly LayerKind[];
  readonly formats: readonly FormatName[];
  /** By name; all fields when absent. */
  readonly fields?: readonly string[];
  /** Of points and swaths: those that no rule caught, or every one with the rule that caught it. */
  readonly points: 'kept' | 'all';
  readonly units: LayerUnits;
  /** All fields in one file of a kind, or files for each field. */
  readonly files: 'together' | 'each';
}

/** What came of it. */
export interface LayerExportReply {
  /** Inside the season folder. */
  readonly files: readonly { readonly path: string; readonly bytes: number }[];
  /** Features in all layers together. */
  readonly features: number;
  /** Among them which fields have no surface, and why. */
  readonly notices: readonly Notice[];
}

/** What was chosen last, of any season; `null` before the first time. Fields are not remembered: they are a season's own. */
export interface ExportChoiceReply {
  readonly choice: Omit<LayerExportChoice, 'fields'> | null;
}
