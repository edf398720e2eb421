/** The shape of `settings.surface` in `season.json`; ranges are there to catch a slipped unit or digit. */
import * as z from 'zod';

function between(low: number, high: number, unit: string) {
  const error = `${low} to ${high} ${unit}`;
  return z.number().min(low, { error }).max(high, { error });
}

function wholeBetween(low: number, high: number) {
  const error = `a whole number from ${low} to ${high}`;
  return z.number().int({ error }).min(low, { error }).max(high, { error });
}

export const surfaceSchema = z.strictObject({
  method: z.optional(z.enum(['block_mean', 'inverse_distance', 'kriging'])),
  cell_m: z.optional(between(0.5, 500, 'm')),
  neighbours: z.optional(wholeBetween(4, 500)),
  search_m: z.optional(between(1, 10_000, 'm')),
  octant_neighbours: z.optional(wholeBetween(1, 100)),
  power: z.optional(between(0.1, 10, 'as a power of the distance')),
  block_m: z.optional(between(0, 500, 'm')),
  point_errors: z.optional(z.enum(['known', 'in_nugget'])),
  cutoff_m: z.optional(between(5, 10_000, 'm')),
  shape: z.optional(z.enum(['spherical', 'exponential', 'gaussian', 'matern'])),
  model: z.optional(
    z
      .strictObject({
        nugget: between(0, 100, 'kg²/m⁴'),
        partial_sill: between(0, 100, 'kg²/m⁴'),
        range_m: between(0.1, 100_000, 'm'),
        smoothness: z.optional(z.union([z.literal(1.5), z.literal(2.5)], { error: '1.5 or 2.5' })),
        anisotropy: z.optional(
          z.strictObject({
            azimuth_deg: between(0, 180, 'degrees from north'),
            ratio: between(0.05, 1, 'as shortest range over longest'),
          }),
        ),
      })
      .refine(({ nugget, partial_sill }) => nugget + partial_sill > 0, {
        error: 'a nugget or a partial sill above zero',
      }),
  ),
  classes: z.optional(
    z.strictObject({
      method: z.optional(z.enum(['equal', 'quantile', 'natural', 'standard_deviation', 'user'])),
      count: z.optional(wholeBetween(1, 20)),
      limits_kg_m2: z.optional(
        z
          .array(between(0, 100, 'kg/m²'))
          .max(19, { error: 'at most 19 limits' })
          .refine((limits) => limits.every((limit, i) => i === 0 || limit > limits[i - 1]), {
            error: 'limits that ascend',
          }),
      ),
    }),
  ),
  zones: z.optional(
    z.strictObject({
      least_area_m2: z.optional(between(0, 1_000_000, 'm²')),
      tolerance_m: z.optional(between(0, 500, 'm')),
    }),
  ),
});
