/** The shapes of `comparisons`, `settings.margin` and `settings.seasons`: which keys there are and which numbers can be meant. */
import * as z from 'zod';

const utc = z.iso.datetime({ error: 'a UTC time such as 2026-09-21T14:05:00Z' });

function between(least: number, most: number, unit: string) {
  return z.number().refine((found) => found >= least && found <= most, {
    error: `${least} to ${most} ${unit}`,
  });
}

/** Sums of any currency, also of those with many zeros; below zero for what is paid to the grower. */
const MOST_MONEY = 1e9;
const money = between(-MOST_MONEY, MOST_MONEY, 'in the currency of the sheet');
const price = between(0, MOST_MONEY, 'in the currency of the sheet');

type Words = z.ZodType<string>;
type ListOf = <Item extends z.ZodType>(item: Item, most: number) => z.ZodArray<Item>;

const place = z.tuple([between(-180, 180, 'degrees of longitude'), between(-90, 90, 'degrees of latitude')]);

/** One comparison, made with the sheet's own notion of a name, a path, and a list with its most entries. */
export function comparisonSchema(words: Words, path: Words, listOf: ListOf) {
  const ring = listOf(place, 10_000).min(3, { error: 'at least three corners' });
  return z
    .strictObject({
      name: words,
      field: words,
      strips: z.optional(
        listOf(
          z.strictObject({
            treatment: words,
            replicate: z.optional(words),
            rings: listOf(ring, 100).min(1, { error: 'at least one ring of corners' }),
          }),
          2000,
        ),
      ),
      file: z.optional(z.strictObject({ path, treatment: words, replicate: z.optional(words) })),
      spans: z.optional(
        listOf(
          z.strictObject({
            treatment: words,
            machine: z.optional(words),
            replicate: z.optional(words),
            from: z.optional(utc),
            to: z.optional(utc),
          }),
          2000,
        ),
      ),
      end_buffer_m: z.optional(between(0, 500, 'm')),
      side_buffer_m: z.optional(between(0, 100, 'm')),
      alpha_pct: z.optional(between(0.1, 50, '%')),
      worthwhile_t_ha: z.optional(between(0.001, 50, 't/ha')),
    })
    .refine(({ strips, file, spans }) => [strips, file, spans].filter(Boolean).length === 1, {
      error: 'exactly one of "strips" (drawn), "file" (polygons) and "spans" (times)',
    });
}

/** `settings.margin`, made with the sheet's own notion of a name, and of a list with its most entries. */
export function marginSchema(words: Words, listOf: ListOf) {
  return z.strictObject({
    currency: z.optional(words),
    prices: z.optional(
      listOf(
        z
          .strictObject({
            crop: words,
            price_per_t: z.optional(price),
            price_per_bu: z.optional(price),
            sold_at_moisture_pct: z.optional(between(1, 60, '%')),
            drying_per_point_t: z.optional(price),
            drying_per_point_bu: z.optional(price),
            hauling_per_t: z.optional(price),
            hauling_per_bu: z.optional(price),
            shrink: z.optional(
              z.strictObject({
                method: z.enum(['dry_matter', 'policy']),
                per_point_pct: z.optional(between(0, 5, '% of the wet mass for a point of moisture')),
                handling_pct: z.optional(between(0, 10, '% of the wet mass')),
              }),
            ),
          })
          .refine(
            (found) =>
              (found.price_per_t === undefined) !== (found.price_per_bu === undefined) &&
              !(found.drying_per_point_t !== undefined && found.drying_per_point_bu !== undefined) &&
              !(found.hauling_per_t !== undefined && found.hauling_per_bu !== undefined),
            { error: 'a price by the tonne or by the bushel, one of the two; drying and hauling likewise' },
          ),
        500,
      ),
    ),
    costs: z.optional(
      listOf(
        z
          .strictObject({
            name: words,
            per_ha: z.optional(money),
            per_ac: z.optional(money),
            crop: z.optional(words),
            field: z.optional(words),
            treatment: z.optional(words),
          })
          .refine(({ per_ha, per_ac }) => (per_ha === undefined) !== (per_ac === undefined), {
            error: 'either "per_ha" or "per_ac"',
          }),
        5000,
      ),
    ),
  });
}

/** `settings.seasons`. */
export const stabilitySchema = z.strictObject({
  high_pct: z.optional(between(10, 300, '% of the field’s mean')),
  unstable_cv_pct: z.optional(between(1, 300, '%')),
  cell_m: z.optional(between(0.5, 500, 'm')),
});
