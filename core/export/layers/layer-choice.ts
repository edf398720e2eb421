/** What someone wants exported: the same words on the command line, in the window and in what is remembered. */
import type { FormatName } from '../formats/format-list.ts';
import type { LayerKind } from './layer.ts';

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
