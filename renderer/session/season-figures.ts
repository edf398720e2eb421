/** Figures over fields that the summary gives field by field. */
import { findCrop } from '../../core/grain/find-crop.ts';
import type { FieldSummary, LedgerRow } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { kgFromTonnes } from '../../core/units.ts';
import { ABSENT, grainMass, type Quantity, type UnitSystem } from '../text/quantities.ts';

/** Weight of the crop's bushel, kg; NaN where it has none. */
export function bushelOf(season: Pick<Season, 'crops'>, crop: string): number {
  const found = findCrop(season, crop);
  return found.ok ? found.value.bushel_kg : Number.NaN;
}

export interface Total {
  /** At standard moisture. */
  readonly mass_kg: number;
  /** Standard error; null when a field has none. */
  readonly error_kg: number | null;
  readonly area_ha: number;
}

/**
 * Grain and ground of several fields together. Fields share the error of their calibration, which outweighs what each has
 * of its own, so that errors are added, not their squares: on the safe side.
 */
export function totalOf(fields: readonly FieldSummary[]): Total {
  let mass_kg = 0;
  let area_ha = 0;
  let error_kg: number | null = 0;
  for (const field of fields) {
    mass_kg += field.mass_std_kg;
    area_ha += field.area_ha;
    const own_kg = errorOfField(field);
    error_kg = own_kg === null || error_kg === null ? null : error_kg + own_kg;
  }
  return { mass_kg, error_kg, area_ha };
}

/** Standard error of a field's total at standard moisture, kg; null without a calibration. */
export function errorOfField({ uncertainty, mean_yield_se_t_ha, area_ha }: FieldSummary): number | null {
  if (uncertainty !== undefined) return uncertainty.mass_std_se_kg;
  return mean_yield_se_t_ha === null ? null : kgFromTonnes(mean_yield_se_t_ha * area_ha);
}

/** The 95 % interval of a field's total at standard moisture: `103.86–106.41 t`. */
export function intervalOf(field: FieldSummary, bushel_kg: number, units: UnitSystem): Quantity {
  const error_kg = errorOfField(field);
  const half_kg = error_kg === null ? Number.NaN : Z95 * error_kg;
  const ends = field.uncertainty?.mass_std_95_kg ?? [
    field.mass_std_kg - half_kg,
    field.mass_std_kg + half_kg,
  ];
  const [low, high] = ends.map((mass_kg) => grainMass(mass_kg, bushel_kg, units));
  return low.number === ABSENT ? low : { number: `${low.number}–${high.number}`, unit: high.unit };
}

/** Half-width of a 95 % interval in standard errors. */
const Z95 = 1.96;

/** Fields of one crop, in the order of the season. */
export function fieldsByCrop(fields: readonly FieldSummary[]): ReadonlyMap<string, readonly FieldSummary[]> {
  const crops = new Map<string, FieldSummary[]>();
  for (const field of fields) crops.set(field.crop, [...(crops.get(field.crop) ?? []), field]);
  return crops;
}

/** Grain that a rule took off the map, kg, over the given rows of the ledger. */
export function screenedBy(ledger: readonly LedgerRow[], rule: string): number {
  let sum_kg = 0;
  for (const row of ledger) {
    if (rule === 'outside_field') sum_kg += row.outside_field_kg;
    else if (rule === 'not_cutting') sum_kg += row.not_cutting_kg;
    else sum_kg += row.screened_kg[rule] ?? 0;
  }
  return sum_kg;
}

/** What the sheet calls the machine. */
export function machineName(season: Season, id: string): string {
  return season.machines.find((machine) => machine.id === id)?.name ?? id;
}
