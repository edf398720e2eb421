/** Yields that no crop gives: a word on each, lest a wrong width or a lost position pass for a record harvest. */
import type { Notice } from '../errors.ts';
import type { FieldSummary } from '../result.ts';

/** Mean yields of whole fields outside are mistakes, t/ha; contest plots of maize reach 39 (from memory, no source). */
const BELIEVABLE_T_HA = { least: 0.05, most: 30 };

/** One notice a field whose mean cannot be. Fields without a mean say nothing. */
export function yieldNotices(fields: readonly FieldSummary[]): Notice[] {
  return fields.flatMap(({ name, mean_yield_t_ha }) => {
    if (mean_yield_t_ha === null) return [];
    const shown = `${name}: a mean of ${mean_yield_t_ha.toFixed(2)} t/ha`;
    const text =
      mean_yield_t_ha > BELIEVABLE_T_HA.most
        ? `${shown} is more than any crop gives. Too little ground or too much weight: check the header's width, the positions, and the unit of the tickets.`
        : mean_yield_t_ha < BELIEVABLE_T_HA.least
          ? `${shown} is next to nothing. Check the empty level, the beam, and that logs and tickets belong together.`
          : '';
    return text === ''
      ? []
      : [{ code: 'implausible_yield', severity: 'look' as const, source: name, count: 1, text }];
  });
}
