/** What the process that builds all seasons and those that build one each say to one another. */
import type { DataError } from '../../../core/errors.ts';
import type { LayerExportChoice } from '../../../core/export/layers/layer-choice.ts';
import type { OutputChoice } from '../season-outputs.ts';

/** What is to be made of every season. */
export interface SeasonOutputs extends OutputChoice {
  /** Also layers in the formats of other programs. */
  readonly exports?: Pick<LayerExportChoice, 'layers' | 'formats'> & {
    /** The season's own when absent. */
    readonly units?: LayerExportChoice['units'];
  };
}

export interface BuildOrder extends SeasonOutputs {
  /** Real path of the season folder. */
  readonly folder: string;
  readonly out: string;
  /** Whether results and readings are taken from the season's cache and kept there. */
  readonly usesCache: boolean;
  /** Whether other seasons are built meanwhile, so that threads for fields would only stand in one another's way. */
  readonly isOneOfMany: boolean;
}

export type BuildNews =
  | { readonly kind: 'progress'; readonly stage: string; readonly share: number }
  /** All files are in their places, and recorded. */
  | { readonly kind: 'built' }
  | { readonly kind: 'failed'; readonly error: DataError }
  /** Worth knowing, and no failure. */
  | { readonly kind: 'remark'; readonly text: string }
  /** A mistake of ours. */
  | { readonly kind: 'fault'; readonly stack: string };
