/**
 * The shape of `season.json`: which keys there are, what each holds, and which numbers can be meant.
 *
 * Every range is wider than any machine or crop in use and is there to catch a slipped unit or digit, not to judge
 * a machine (common practice, no source). Unknown keys are reported by the strict objects; `season-file.ts` turns
 * those into notices and everything else into errors.
 */
import * as z from 'zod';
import { calibrationSchema } from './calibration-schema.ts';
import { comparisonSchema, marginSchema, stabilitySchema } from './comparison-schema.ts';
import { SCREENING_RULES } from './result.ts';
import type { MappedQuantity, ScreeningRule, Season } from './season.ts';
import { isPrintable } from './shown-text.ts';
import { surfaceSchema } from './surface-schema.ts';

/** One other unit that a number may have been written in: its name and its size in the expected unit. */
interface OtherUnit {
  readonly plural: string;
  readonly symbol: string;
  readonly factor: number;
}

/** International inch and foot, exact [NIST SP 811]. */
const OTHER_LENGTHS_MM: readonly OtherUnit[] = [
  { plural: 'inches', symbol: 'in', factor: 25.4 },
  { plural: 'centimetres', symbol: 'cm', factor: 10 },
  { plural: 'metres', symbol: 'm', factor: 1000 },
  { plural: 'feet', symbol: 'ft', factor: 304.8 },
];
const OTHER_LENGTHS_M: readonly OtherUnit[] = [
  { plural: 'feet', symbol: 'ft', factor: 0.3048 },
  { plural: 'inches', symbol: 'in', factor: 0.0254 },
  { plural: 'centimetres', symbol: 'cm', factor: 0.01 },
  { plural: 'millimetres', symbol: 'mm', factor: 0.001 },
];
const OTHER_PERCENTS: readonly OtherUnit[] = [{ plural: 'a fraction of 1', symbol: '', factor: 100 }];
const OTHER_DENSITIES: readonly OtherUnit[] = [
  { plural: 'kilograms per hectolitre', symbol: 'kg/hL', factor: 10 },
  { plural: 'tonnes per cubic metre', symbol: 't/m³', factor: 1000 },
];

/** A number between `low` and `high` (both allowed), in `unit`; another unit is guessed by what is `usual`, else allowed. */
function quantity(
  low: number,
  high: number,
  unit: string,
  others: readonly OtherUnit[] = [],
  usual: readonly [number, number] = [low, high],
) {
  return z.number().superRefine((found, context) => {
    if (found >= low && found <= high) return;
    context.addIssue({
      code: 'custom',
      message: `${low} to ${high} ${unit}${guess(found, usual, unit, others) || guess(found, [low, high], unit, others)}`,
    });
  });
}

/** "; it looks like inches (8 in = 203.2 mm)" when the number fits in another unit, else nothing. */
function guess(
  found: number,
  [low, high]: readonly [number, number],
  unit: string,
  others: readonly OtherUnit[],
): string {
  for (const other of others) {
    const converted = Number((found * other.factor).toPrecision(6));
    const same =
      other.symbol === '' ? `${converted} ${unit}` : `${found} ${other.symbol} = ${converted} ${unit}`;
    if (converted >= low && converted <= high) return `; it looks like ${other.plural} (${same})`;
  }
  return '';
}

const millimetres = (low: number, high: number) => quantity(low, high, 'mm', OTHER_LENGTHS_MM);
const metres = (low: number, high: number) => quantity(low, high, 'm', OTHER_LENGTHS_M);
const percent = (low: number, high: number) => quantity(low, high, '%', OTHER_PERCENTS);
const seconds = (low: number, high: number) => quantity(low, high, 's');
const whole = (low: number, high: number) =>
  z.number().superRefine((found, context) => {
    if (Number.isInteger(found) && found >= low && found <= high) return;
    context.addIssue({ code: 'custom', message: `a whole number from ${low} to ${high}` });
  });

/** Characters of the longest name, heading or path that anyone writes. A choice of ours. */
const LONGEST_WORDS = 300;

/** Text with something in it, which can be shown on one line. */
const words = z
  .string()
  .regex(/\S/, { error: 'a text that is not empty' })
  .max(LONGEST_WORDS, { error: `a text of at most ${LONGEST_WORDS} characters` })
  .refine(isPrintable, { error: 'a text on one line, without control characters' });

/** A list; the most is far more than any season has, and keeps checking it quick. */
const listOf = <Item extends z.ZodType>(item: Item, most: number) =>
  z.array(item).max(most, { error: `at most ${most} entries` });

/** A file inside the season folder, relative, with forward slashes. */
const path = words.superRefine((found, context) => {
  const message = pathFault(found);
  if (message) context.addIssue({ code: 'custom', message });
});

function pathFault(found: string): string | undefined {
  if (found.includes('\\')) return 'a path with forward slashes, for example logs/combine.log';
  if (/^\/|^[A-Za-z]:/.test(found)) {
    return 'a path relative to the season folder, for example logs/combine.log; copy the file into the folder';
  }
  // Windows drops dots and spaces at the end of a step, and would take ".. " for ".."
  if (found.split('/').some((step) => /^\.\.[. ]*$/.test(step))) {
    return 'a path that stays inside the season folder (no ..); copy the file into the folder';
  }
  return undefined;
}

const utc = z.iso.datetime({ error: 'a UTC time such as 2026-09-21T14:05:00Z' });

const paddle = z.strictObject({
  pitch_mm: quantity(50, 600, 'mm', OTHER_LENGTHS_MM, [80, 350]),
  width_mm: millimetres(50, 800),
  depth_mm: millimetres(40, 500),
  thickness_mm: millimetres(1, 100),
  count: z.optional(whole(5, 500)),
});

const beam = z.strictObject({
  above_lower_shaft_mm: z.optional(millimetres(0, 10_000)),
  from_back_mm: z.optional(millimetres(0, 500)),
  height_mm: z.optional(millimetres(0, 50)),
});

const machine = z.strictObject({
  id: words,
  name: words,
  paddle: z.optional(paddle),
  beam: z.optional(beam),
  antenna: z.optional(
    z.strictObject({ ahead_of_cut_m: metres(-15, 15), right_of_centre_m: metres(-10, 10) }),
  ),
  header: z.strictObject({ width_m: metres(0.3, 20), rows: z.optional(whole(1, 60)) }),
  unconfirmed: z.optional(z.array(words)),
});

const field = z.strictObject({
  name: words,
  crop: words,
  variety: z.optional(words),
  boundary: z.optional(path),
  standard_moisture_pct: z.optional(percent(1, 60)),
  moisture_pct: z.optional(percent(1, 60)),
  unconfirmed: z.optional(z.array(words)),
});

const crop = z.strictObject({
  name: words,
  bushel_lb: z.optional(quantity(5, 150, 'lb')),
  standard_moisture_pct: z.optional(percent(1, 60)),
  bulk_density_kg_m3: z.optional(quantity(100, 1500, 'kg/m³', OTHER_DENSITIES)),
});

const log = z.strictObject({
  machine: words,
  files: listOf(path, 10_000).min(1, { error: 'at least one file' }),
  field: z.optional(words),
  mapping: z.optional(words),
  tick_zero_utc: z.optional(utc),
});

const QUANTITIES = [
  'longitude',
  'latitude',
  'time',
  'date',
  'clock_time',
  'interval',
  'mass_flow',
  'volume_flow',
  'mass',
  'distance',
  'speed',
  'swath',
  'heading',
  'moisture',
  'altitude',
  'header_state',
  'fix_quality',
  'field',
] as const satisfies readonly MappedQuantity[];

/** One column mapping, as it stands in the sheet or in a file of its own. */
export const columnMappingSchema = z.strictObject({
  id: words,
  delimiter: z.optional(z.enum([',', ';', '\t', ' ', '|'])),
  decimal: z.optional(z.enum(['.', ','])),
  has_header: z.optional(z.boolean()),
  utc_offset: z.optional(
    z.string().regex(/^[+-]\d{2}:\d{2}$/, { error: 'an offset from UTC such as +02:00 or -05:00' }),
  ),
  header: z.optional(words),
  columns: listOf(
    z.strictObject({
      quantity: z.enum(QUANTITIES),
      column: z.union([words, whole(1, 10_000)], {
        error: 'the header text of the column, or its number from 1',
      }),
      unit: z.optional(words),
    }),
    100,
  ),
});

const rule = z.record(
  z.string(),
  z.union([z.number(), z.boolean()], { error: 'a number, or true or false for "on"' }),
);

const exclusion = z
  .strictObject({
    field: z.optional(words),
    machine: z.optional(words),
    around: z.optional(
      z
        .array(
          z.tuple([quantity(-180, 180, 'degrees of longitude'), quantity(-90, 90, 'degrees of latitude')]),
        )
        .min(3, { error: 'at least three corners' })
        .max(10_000, { error: 'at most 10000 corners' }),
    ),
    from: z.optional(utc),
    to: z.optional(utc),
    why: z.optional(words),
  })
  .refine(({ around, from, to }) => around !== undefined || from !== undefined || to !== undefined, {
    error: 'a place ("around") or a time ("from", "to"), or both',
  });

const settings = z.strictObject({
  signal: z.optional(
    z.strictObject({
      bridge_lit_ms: z.optional(quantity(0, 50, 'ms')),
      drop_dark_ms: z.optional(quantity(0, 50, 'ms')),
      empty_level: z.optional(quantity(0, 0.9, 'as a fraction of the paddle period')),
    }),
  ),
  lags: z.optional(
    listOf(
      z.strictObject({
        field: z.optional(words),
        machine: z.optional(words),
        transport_s: z.optional(seconds(-120, 120)),
        mixing_s: z.optional(seconds(0, 60)),
        moisture_s: z.optional(seconds(-120, 120)),
      }),
      10_000,
    ),
  ),
  unsmear: z.optional(
    z.strictObject({
      on: z.optional(z.boolean()),
      iterations: z.optional(quantity(1, 20, 'in whole rounds')),
    }),
  ),
  cut_width: z.optional(
    z.strictObject({ whole_rows: z.optional(z.boolean()), from: z.optional(z.enum(['ground', 'log'])) }),
  ),
  point_interval_s: z.optional(seconds(0.1, 60)),
  screening: z.optional(
    z.strictObject(
      Object.fromEntries(SCREENING_RULES.map((name) => [name, z.optional(rule)])) as Record<
        ScreeningRule,
        z.ZodOptional<typeof rule>
      >,
    ),
  ),
  exclusions: z.optional(listOf(exclusion, 10_000)),
  calibration: z.optional(calibrationSchema(words, listOf)),
  surface: z.optional(surfaceSchema),
  margin: z.optional(marginSchema(words, listOf)),
  seasons: z.optional(stabilitySchema),
});

const file = z.strictObject({
  path,
  sha256: z.string().regex(/^[0-9a-f]{64}$/, { error: 'a SHA-256 as 64 hex digits' }),
  bytes: whole(0, Number.MAX_SAFE_INTEGER),
  imported_utc: utc,
  source_name: words,
});

/** `season.json` as a zod schema; strict, so that unknown keys are seen (they are kept all the same). */
export const seasonSchema = z.strictObject({
  format: z.literal('sheaflight-season/1'),
  name: words,
  grower: z.optional(words),
  units: z.optional(z.enum(['us', 'metric'])),
  machines: listOf(machine, 200),
  fields: listOf(field, 5000),
  crops: z.optional(listOf(crop, 500)),
  logs: listOf(log, 10_000),
  tickets: z.optional(listOf(path, 1000)),
  mappings: z.optional(listOf(columnMappingSchema, 500)),
  comparisons: z.optional(listOf(comparisonSchema(words, path, listOf), 500)),
  settings: z.optional(settings),
  files: z.optional(listOf(file, 100_000)),
});

/** What has passed the schema is a season; the assignment is the compiler's proof that the two agree. */
export function seasonFromSchema(checked: z.infer<typeof seasonSchema>): Season {
  return checked;
}

/** Keys known at a place of the sheet; empty where the place takes any key or is not an object. */
export function knownKeys(place: readonly PropertyKey[]): readonly string[] {
  let schema: unknown = seasonSchema;
  for (const step of place) {
    schema = unwrapped(schema);
    if (schema instanceof z.ZodObject) schema = schema.shape[step as string];
    else if (schema instanceof z.ZodArray) schema = schema.element;
    else return [];
  }
  schema = unwrapped(schema);
  return schema instanceof z.ZodObject ? Object.keys(schema.shape) : [];
}

function unwrapped(schema: unknown): unknown {
  return schema instanceof z.ZodOptional ? schema.unwrap() : schema;
}
