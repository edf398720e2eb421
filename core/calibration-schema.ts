/** The shape of `settings.calibration`: which keys there are and which numbers can be meant. */
import * as z from 'zod';
import { CALIBRATION_MODELS } from './calibration-sheet.ts';

/** A gain outside these is a slipped unit, not a sensor; wider than what is warned about. Ours. */
const FACTOR = { least: 0.1, most: 10 };
/** Heavier than any field's harvest. Ours. */
const MOST_SETTLED_KG = 1e9;

const utc = z.iso.datetime({ error: 'a UTC time such as 2026-09-21T14:05:00Z' });

function between(least: number, most: number, unit: string) {
  return z.number().refine((found) => found >= least && found <= most, {
    error: `${least} to ${most} ${unit}`,
  });
}

/** The schema, made with the sheet's own notion of a name, and of a list with its most entries. */
export function calibrationSchema(
  words: z.ZodType<string>,
  listOf: <Item extends z.ZodType>(item: Item, most: number) => z.ZodArray<Item>,
) {
  return z.strictObject({
    model: z.optional(z.enum(['auto', ...CALIBRATION_MODELS])),
    loads: z.optional(listOf(z.strictObject({ ticket: words, use: z.boolean() }), 10_000)),
    spans: z.optional(listOf(z.strictObject({ ticket: words, start_utc: utc, end_utc: utc }), 10_000)),
    prior: z.optional(
      listOf(
        z.strictObject({
          machine: z.optional(words),
          crop: z.optional(words),
          factor: between(FACTOR.least, FACTOR.most, 'as scale over beam'),
          se_pct: between(0.1, 50, '%'),
          from: words,
        }),
        1000,
      ),
    ),
    settlements: z.optional(
      listOf(
        z.strictObject({
          fields: listOf(words, 5000).min(1, { error: 'at least one field' }),
          settlement_kg: between(1, MOST_SETTLED_KG, 'kg'),
          moisture: z.optional(z.enum(['standard', 'as_harvested'])),
        }),
        5000,
      ),
    ),
    groups: z.optional(
      z
        .strictObject({ by: z.enum(['variety', 'period']), splits_utc: z.optional(listOf(utc, 100)) })
        .refine(({ by, splits_utc = [] }) => by === 'variety' || splits_utc.length > 0, {
          error: '"splits_utc" with one time or more at which a period ends',
        }),
    ),
    agreements: z.optional(listOf(z.strictObject({ machine: words, with: words }), 200)),
  });
}
