/** The shape of every JSON body that the window may send; whatever does not fit is refused before anything is done. */
import * as z from 'zod';
import { stabilitySchema } from '../../core/comparison-schema.ts';
import { seasonEditSchema } from '../../core/edits.ts';
import { REPORT_FORMATS } from '../../core/export/report-choice.ts';
import type { Bodies, RouteName } from '../../core/host-contract.ts';
import type { CheckMeasures } from '../../core/install/check-measures.ts';
import type { PlacementSheet } from '../../core/install/placement.ts';
import type { ColumnMappingSheet, FieldSheet, MachineSheet } from '../../core/season.ts';
import { surfaceSchema } from '../../core/surface-schema.ts';
import { exportChoiceSchema } from './export/export-choice-schema.ts';

/** Longer than any path or name. */
const text = z.string().min(1).max(4096);
const revision = z.string().min(1).max(64);
const paths = z.array(text).max(10_000);

/** Any object: the season's own schema judges it. */
const sheet = <T>() =>
  z.custom<T>((found) => typeof found === 'object' && found !== null && !Array.isArray(found), {
    error: 'an object in braces { }',
  });

const size = z.number();
const count = z.optional(z.number().int());
const length = z.optional(size);

/** Numbers of the right kind; which of them an elevator can have is for the check itself to say. */
export const checkMeasuresSchema: z.ZodType<CheckMeasures> = z.strictObject({
  pitch_mm: size,
  thickness_mm: size,
  beam_mm: length,
  paddles: count,
  counted: count,
  chain_speed_m_s: length,
});

const placementMeasures: z.ZodType<PlacementSheet> = z.strictObject({
  column_depth_mm: size,
  column_width_mm: size,
  paddle: z.strictObject({
    pitch_mm: size,
    width_mm: size,
    depth_mm: size,
    thickness_mm: size,
    count,
  }),
  chain: z.optional(z.strictObject({ from_back_mm: size, thickness_mm: size })),
  reach_outside_mm: length,
  reach_inside_mm: z.optional(z.nullable(size)),
  free_from_mm: length,
  shafts_apart_mm: length,
  beam_mm: length,
  chain_speed_m_s: length,
});

const named = { machine: z.string().min(1).max(200), paper: z.enum(['letter', 'a4']) };

type Schemas = { readonly [K in keyof Bodies]: z.ZodType<Bodies[K]> };

const SCHEMAS: Schemas = {
  setHome: z.strictObject({ folder: text }),
  setBaseMap: z.strictObject({
    base_map: z.nullable(
      z.strictObject({ kind: z.enum(['file', 'address']), at: text, attribution: z.string().max(500) }),
    ),
  }),
  createSeason: z.strictObject({
    name: text,
    units: z.enum(['us', 'metric']),
    machines: z.optional(z.array(sheet<MachineSheet>()).max(1000)),
    fields: z.optional(z.array(sheet<FieldSheet>()).max(10_000)),
  }),
  openSeason: z.strictObject({ folder: text }),
  restoreSeason: z.strictObject({ folder: text }),
  renameSeason: z.strictObject({ revision, name: text, folder_name: z.optional(text) }),
  copySeason: z.strictObject({ name: text }),
  editSeason: z.strictObject({ revision, edit: seasonEditSchema }),
  preview: z.strictObject({ revision, edit: seasonEditSchema }),
  undo: z.strictObject({ revision }),
  redo: z.strictObject({ revision }),
  drawBoundary: z.strictObject({
    revision,
    field: text,
    rings: z
      .array(z.array(z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)])).max(20_000))
      .min(1)
      .max(200),
  }),
  importFiles: z.strictObject({
    revision,
    paths,
    uploads: paths,
    machine: z.optional(text),
    field: z.optional(text),
    mappings: z.optional(z.record(text, sheet<ColumnMappingSheet>())),
  }),
  addTreatments: z.strictObject({
    revision,
    upload: text,
    comparison: z.strictObject({
      name: text,
      field: text,
      file: z.strictObject({ treatment: text, replicate: z.optional(text) }),
      end_buffer_m: length,
      side_buffer_m: length,
      alpha_pct: length,
      worthwhile_t_ha: length,
    }),
  }),
  readStability: z.strictObject({
    folders: paths,
    field: text,
    sheet: z.optional(stabilitySchema),
    write: z.optional(z.literal('out')),
  }),
  exportResult: z.strictObject({
    points: z.enum(['kept', 'all']),
    files: z.optional(z.enum(['together', 'each_field'])),
    field: z.optional(text),
  }),
  makeSurface: surfaceSchema,
  exportLayers: exportChoiceSchema,
  makeReports: z.strictObject({
    fields: z.union([z.literal('all'), paths]),
    season: z.boolean(),
    formats: z.array(z.enum(REPORT_FORMATS)).min(1).max(REPORT_FORMATS.length),
    units: z.optional(z.enum(['us', 'metric'])),
    paper: z.optional(z.enum(['a4', 'letter'])),
    map: z.optional(z.enum(['surface', 'swaths'])),
  }),
  checkSeasonLog: z.strictObject({ path: text, measures: checkMeasuresSchema }),
  keepSheet: z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('placement'),
      ...named,
      units: z.enum(['us', 'metric']),
      measures: placementMeasures,
    }),
    z.strictObject({ kind: z.literal('record'), ...named, record: z.string().min(1).max(64) }),
  ]),
};

/** The schema of a route's body; `undefined` when it has none. */
export function bodySchema(route: RouteName): z.ZodType | undefined {
  return route in SCHEMAS ? SCHEMAS[route as keyof Bodies] : undefined;
}
