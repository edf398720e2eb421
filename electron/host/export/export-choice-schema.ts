/** The shape of a choice of layers and formats, from the window or from what was remembered. */
import * as z from 'zod';
import { FORMAT_NAMES } from '../../../core/export/formats/format-list.ts';
import { LAYER_KINDS, type LayerExportChoice } from '../../../core/export/layers/layer-choice.ts';

const chosen = {
  layers: z.array(z.enum(LAYER_KINDS)).min(1).max(LAYER_KINDS.length),
  formats: z.array(z.enum(FORMAT_NAMES)).min(1).max(FORMAT_NAMES.length),
  points: z.enum(['kept', 'all']),
  units: z.enum(['metric', 'us']),
  files: z.enum(['together', 'each']),
};

/** Of a request. */
export const exportChoiceSchema: z.ZodType<LayerExportChoice> = z.strictObject({
  ...chosen,
  fields: z.optional(z.array(z.string().min(1).max(4096)).min(1).max(10_000)),
});

/** Of what was remembered; keys of later versions are let be. */
export const rememberedChoiceSchema: z.ZodType<Omit<LayerExportChoice, 'fields'>> = z.object(chosen);
