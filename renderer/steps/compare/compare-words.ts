/** Words and units of what is compared. */
import type { FieldComparison } from '../../../core/analysis/comparison/comparison-result.ts';
import { buAcFromKgM2, kgM2FromTHa, lbFromKg, M2_PER_ACRE } from '../../../core/units.ts';
import { decimal, type UnitSystem, yieldOf } from '../../text/quantities.ts';

/** Turns yields in t/ha into the number that is shown, for charts. */
export function shownYield(
  units: UnitSystem,
  bushel_kg: number,
): { readonly shown: (yield_t_ha: number) => number; readonly unit: string; readonly digits: number } {
  const { unit } = yieldOf(1, bushel_kg, units);
  if (units === 'metric') return { shown: (yield_t_ha) => yield_t_ha, unit, digits: 2 };
  if (Number.isFinite(bushel_kg))
    return { shown: (yield_t_ha) => buAcFromKgM2(kgM2FromTHa(yield_t_ha), bushel_kg), unit, digits: 1 };
  return { shown: (yield_t_ha) => lbFromKg(kgM2FromTHa(yield_t_ha) * M2_PER_ACRE), unit, digits: 0 };
}

const REASONS = {
  screened: 'screened',
  straddling: 'lay in two strips',
  over_edge: 'reached over the edge',
  near_end: 'were near an end',
  near_side: 'were near a side',
} as const satisfies Readonly<Record<keyof FieldComparison['strips'][number]['left_out'], string>>;

/** "108 points in strips do not count: 108 were near an end. 2,420 points of the field lie in no strip." */
export function leftOutWords({ strips, points_elsewhere }: FieldComparison): string {
  const reasons = Object.entries(REASONS).flatMap(([reason, words]) => {
    const points = strips.reduce((sum, { left_out }) => sum + left_out[reason as keyof typeof REASONS], 0);
    return points === 0 ? [] : [{ points, text: `${decimal(points, 0)} ${words}` }];
  });
  const total = reasons.reduce((sum, { points }) => sum + points, 0);
  const elsewhere = `${decimal(points_elsewhere, 0)} points of the field lie in no strip.`;
  if (total === 0) return `Every point in the strips counts. ${elsewhere}`;
  return `${decimal(total, 0)} points in the strips do not count: ${reasons.map(({ text }) => text).join(', ')}. ${elsewhere}`;
}
