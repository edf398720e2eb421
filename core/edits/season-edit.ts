/** Everything that a user can do to a season, as data: one kind for each action, its arguments beside it. */
import * as z from 'zod';
import type { ComparisonSheet } from '../analysis/comparison/comparison-sheet.ts';
import type { MarginSheet } from '../analysis/margin/margin-sheet.ts';
import type { StabilitySheet } from '../analysis/seasons/stability-sheet.ts';
import { CALIBRATION_MODELS, type CalibrationSheet } from '../calibration-sheet.ts';
import { SCREENING_RULES } from '../result.ts';
import type {
  ColumnMappingSheet,
  CropSheet,
  Exclusion,
  FieldSheet,
  FileRecord,
  MachineSheet,
  ScreeningRule,
  Season,
  SettingsSheet,
} from '../season.ts';
import type { SurfaceSheet } from '../surface/surface-sheet.ts';

/** What to change in an object: keys that are there are set, `null` takes a key away, the others stay [RFC 7396]. */
export type Patch<T> = { readonly [K in keyof T]?: PatchOf<T[K]> | null };
type PatchOf<T> = T extends readonly unknown[] ? T : T extends object ? Patch<T> : T;

/** Numbers of a lag entry. */
export interface LagNumbers {
  readonly transport_s?: number;
  readonly mixing_s?: number;
  readonly moisture_s?: number;
}

/** What can be said of log files beside their names. */
export interface LogAssignment {
  readonly machine?: string;
  readonly field?: string;
  readonly mapping?: string;
  readonly tick_zero_utc?: string;
}

export type SingleEdit =
  | { readonly kind: 'rename_season'; readonly name: string }
  /** Whose season it is, as reports say; `null`: they say nothing. */
  | { readonly kind: 'set_grower'; readonly grower: string | null }
  | { readonly kind: 'set_units'; readonly units: NonNullable<Season['units']> }
  | { readonly kind: 'add_machine'; readonly machine: MachineSheet }
  /** A new `id` is carried into the logs and lags that name the machine. */
  | { readonly kind: 'change_machine'; readonly id: string; readonly change: Patch<MachineSheet> }
  | { readonly kind: 'remove_machine'; readonly id: string }
  | { readonly kind: 'add_field'; readonly field: FieldSheet }
  /** A new `name` is carried into the logs and lags that name the field. */
  | { readonly kind: 'change_field'; readonly name: string; readonly change: Patch<FieldSheet> }
  | { readonly kind: 'remove_field'; readonly name: string }
  /** Adds the crop or takes the place of the one of that name. */
  | { readonly kind: 'set_crop'; readonly crop: CropSheet }
  | { readonly kind: 'remove_crop'; readonly name: string }
  /** Files go to the entry that says the same of its files, or to a new one. */
  | ({
      readonly kind: 'add_logs';
      readonly files: readonly string[];
      readonly machine: string;
    } & LogAssignment)
  | { readonly kind: 'assign_logs'; readonly files: readonly string[]; readonly change: Patch<LogAssignment> }
  /** Takes files off the list; on the disk they stay. */
  | { readonly kind: 'remove_logs'; readonly files: readonly string[] }
  | { readonly kind: 'add_tickets'; readonly files: readonly string[] }
  | { readonly kind: 'remove_tickets'; readonly files: readonly string[] }
  /** Adds the mapping or takes the place of the one of that id. */
  | { readonly kind: 'set_mapping'; readonly mapping: ColumnMappingSheet }
  | { readonly kind: 'remove_mapping'; readonly id: string }
  /** What was copied in; a record of the same path is replaced. */
  | { readonly kind: 'record_files'; readonly files: readonly FileRecord[] }
  | { readonly kind: 'forget_files'; readonly files: readonly string[] }
  | { readonly kind: 'set_signal'; readonly change: Patch<NonNullable<SettingsSheet['signal']>> }
  /** For one field, one machine, one of both, or all when neither is named. */
  | {
      readonly kind: 'set_lag';
      readonly field?: string;
      readonly machine?: string;
      readonly change: Patch<LagNumbers>;
    }
  /** Unsmearing, off unless it is switched on. */
  | { readonly kind: 'set_unsmear'; readonly change: Patch<NonNullable<SettingsSheet['unsmear']>> }
  | { readonly kind: 'set_cut_width'; readonly change: Patch<NonNullable<SettingsSheet['cut_width']>> }
  /** `null`: everything found from the data again. */
  | { readonly kind: 'set_surface'; readonly change: Patch<SurfaceSheet> | null }
  /** Adds the comparison or takes the place of the one of that name. */
  | { readonly kind: 'set_comparison'; readonly comparison: ComparisonSheet }
  | { readonly kind: 'rename_comparison'; readonly name: string; readonly to: string }
  | { readonly kind: 'remove_comparison'; readonly name: string }
  /** Lists as wholes; `null`: no prices and no costs. */
  | { readonly kind: 'set_margin'; readonly change: Patch<MarginSheet> | null }
  /** `null`: the defaults again. */
  | { readonly kind: 'set_stability'; readonly change: Patch<StabilitySheet> | null }
  /** `null`: the default again. */
  | { readonly kind: 'set_point_interval'; readonly interval_s: number | null }
  | {
      readonly kind: 'set_rule';
      readonly rule: ScreeningRule;
      readonly change: { readonly [number: string]: number | boolean | null };
    }
  | { readonly kind: 'reset_rules' }
  /** Leaves ground out by hand. */
  | { readonly kind: 'exclude'; readonly exclusion: Exclusion }
  /** Takes one exclusion back, by its place in the list from 0. */
  | { readonly kind: 'readmit'; readonly index: number }
  /** `null`: the program chooses. */
  | {
      readonly kind: 'set_model';
      readonly model: NonNullable<NonNullable<SettingsSheet['calibration']>['model']> | null;
    }
  /** Each list as a whole; `null` takes it away. */
  | { readonly kind: 'set_calibration'; readonly change: Patch<CalibrationLists> }
  /** `null`: the program decides. */
  | { readonly kind: 'set_load'; readonly ticket: string; readonly use: boolean | null }
  /** Start and end of a load, whose tickets stand together; `null`: those on the tickets again. */
  | {
      readonly kind: 'set_load_span';
      readonly tickets: readonly string[];
      readonly span: { readonly start_utc: string; readonly end_utc: string } | null;
    };

/** What is entered about calibration beyond model, loads and times: gains carried over, settlements, agreements, groups. */
export type CalibrationLists = Pick<CalibrationSheet, 'prior' | 'settlements' | 'agreements' | 'groups'>;

/** One action, or several that stand under one name in the history and come or go together. */
export type SeasonEdit =
  | SingleEdit
  | { readonly kind: 'several'; readonly name: string; readonly edits: readonly SingleEdit[] };

/** Any object; what stands in it the season's own schema judges once the edit is made. */
const sheet = <T>() =>
  z.custom<T>((found) => typeof found === 'object' && found !== null && !Array.isArray(found), {
    error: 'an object in braces { }',
  });

const text = z.string().min(1).max(1000);
const paths = z.array(text).min(1).max(10_000);
const optionalText = z.optional(text);

const single = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('rename_season'), name: text }),
  z.strictObject({ kind: z.literal('set_grower'), grower: z.nullable(text) }),
  z.strictObject({ kind: z.literal('set_units'), units: z.enum(['us', 'metric']) }),
  z.strictObject({ kind: z.literal('add_machine'), machine: sheet<MachineSheet>() }),
  z.strictObject({ kind: z.literal('change_machine'), id: text, change: sheet<Patch<MachineSheet>>() }),
  z.strictObject({ kind: z.literal('remove_machine'), id: text }),
  z.strictObject({ kind: z.literal('add_field'), field: sheet<FieldSheet>() }),
  z.strictObject({ kind: z.literal('change_field'), name: text, change: sheet<Patch<FieldSheet>>() }),
  z.strictObject({ kind: z.literal('remove_field'), name: text }),
  z.strictObject({ kind: z.literal('set_crop'), crop: sheet<CropSheet>() }),
  z.strictObject({ kind: z.literal('remove_crop'), name: text }),
  z.strictObject({
    kind: z.literal('add_logs'),
    files: paths,
    machine: text,
    field: optionalText,
    mapping: optionalText,
    tick_zero_utc: optionalText,
  }),
  z.strictObject({ kind: z.literal('assign_logs'), files: paths, change: sheet<Patch<LogAssignment>>() }),
  z.strictObject({ kind: z.literal('remove_logs'), files: paths }),
  z.strictObject({ kind: z.literal('add_tickets'), files: paths }),
  z.strictObject({ kind: z.literal('remove_tickets'), files: paths }),
  z.strictObject({ kind: z.literal('set_mapping'), mapping: sheet<ColumnMappingSheet>() }),
  z.strictObject({ kind: z.literal('remove_mapping'), id: text }),
  z.strictObject({ kind: z.literal('record_files'), files: z.array(sheet<FileRecord>()).max(10_000) }),
  z.strictObject({ kind: z.literal('forget_files'), files: paths }),
  z.strictObject({
    kind: z.literal('set_signal'),
    change: sheet<Patch<NonNullable<SettingsSheet['signal']>>>(),
  }),
  z.strictObject({
    kind: z.literal('set_lag'),
    field: optionalText,
    machine: optionalText,
    change: sheet<Patch<LagNumbers>>(),
  }),
  z.strictObject({
    kind: z.literal('set_unsmear'),
    change: sheet<Patch<NonNullable<SettingsSheet['unsmear']>>>(),
  }),
  z.strictObject({
    kind: z.literal('set_cut_width'),
    change: sheet<Patch<NonNullable<SettingsSheet['cut_width']>>>(),
  }),
  z.strictObject({ kind: z.literal('set_calibration'), change: sheet<Patch<CalibrationLists>>() }),
  z.strictObject({ kind: z.literal('set_surface'), change: z.nullable(sheet<Patch<SurfaceSheet>>()) }),
  z.strictObject({ kind: z.literal('set_comparison'), comparison: sheet<ComparisonSheet>() }),
  z.strictObject({ kind: z.literal('rename_comparison'), name: text, to: text }),
  z.strictObject({ kind: z.literal('remove_comparison'), name: text }),
  z.strictObject({ kind: z.literal('set_margin'), change: z.nullable(sheet<Patch<MarginSheet>>()) }),
  z.strictObject({ kind: z.literal('set_stability'), change: z.nullable(sheet<Patch<StabilitySheet>>()) }),
  z.strictObject({ kind: z.literal('set_point_interval'), interval_s: z.nullable(z.number()) }),
  z.strictObject({
    kind: z.literal('set_rule'),
    rule: z.enum(SCREENING_RULES),
    change: z.record(text, z.nullable(z.union([z.number(), z.boolean()]))),
  }),
  z.strictObject({ kind: z.literal('reset_rules') }),
  z.strictObject({ kind: z.literal('exclude'), exclusion: sheet<Exclusion>() }),
  z.strictObject({ kind: z.literal('readmit'), index: z.int().min(0) }),
  z.strictObject({
    kind: z.literal('set_model'),
    model: z.nullable(z.enum(['auto', ...CALIBRATION_MODELS])),
  }),
  z.strictObject({ kind: z.literal('set_load'), ticket: text, use: z.nullable(z.boolean()) }),
  z.strictObject({
    kind: z.literal('set_load_span'),
    tickets: z.array(text).min(1).max(1000),
    span: z.nullable(z.strictObject({ start_utc: text, end_utc: text })),
  }),
]);

/** Edits as they come over the wire: kind and arguments, in the shape of `SeasonEdit`. */
export const seasonEditSchema: z.ZodType<SeasonEdit> = z.union([
  single,
  z.strictObject({ kind: z.literal('several'), name: text, edits: z.array(single).min(1).max(10_000) }),
]);
