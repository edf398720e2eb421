/** What a change did: the result after it against the one before. */
import type { Summary } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { kgFromTonnes } from '../../core/units.ts';
import { decimal, grainMass, type UnitSystem, withSign } from '../text/quantities.ts';
import { bushelOf } from './season-figures.ts';

export interface FieldDifference {
  readonly field: string;
  readonly mass_kg: number;
  /** Change of the total, %; NaN from nothing. */
  readonly share_pct: number;
  /** Change of the standard error of the total, kg; null when either is unknown. */
  readonly error_kg: number | null;
  readonly kept_points: number;
}

/** Fields that both results have and in which anything differs. */
export function differences(before: Summary, after: Summary): readonly FieldDifference[] {
  return after.fields.flatMap((field) => {
    const was = before.fields.find(({ name }) => name === field.name);
    if (was === undefined) return [];
    const mass_kg = field.mass_std_kg - was.mass_std_kg;
    const kept_points = field.points.kept - was.points.kept;
    const se = field.mean_yield_se_t_ha;
    const se_was = was.mean_yield_se_t_ha;
    const error_kg =
      se === null || se_was === null ? null : kgFromTonnes(se * field.area_ha - se_was * was.area_ha);
    if (mass_kg === 0 && kept_points === 0 && !error_kg) return [];
    const share_pct = was.mass_std_kg > 0 ? (100 * mass_kg) / was.mass_std_kg : Number.NaN;
    return [{ field: field.name, mass_kg, share_pct, error_kg, kept_points }];
  });
}

/** `Three Oaks +31 bu (+0.7 %), ± 12 bu wider`; `no total changed` when nothing did. */
export function differenceWords(before: Summary, after: Summary, season: Season, units: UnitSystem): string {
  const found = differences(before, after);
  if (found.length === 0) return 'no total changed';
  return found.map((difference) => wordsFor(difference, after, season, units)).join(' · ');
}

function wordsFor(
  { field, mass_kg, share_pct, error_kg, kept_points }: FieldDifference,
  after: Summary,
  season: Season,
  units: UnitSystem,
): string {
  const crop = after.fields.find(({ name }) => name === field)?.crop ?? '';
  const bushel_kg = bushelOf(season, crop);
  const mass = grainMass(Math.abs(mass_kg), bushel_kg, units);
  const isZero = !/[1-9]/.test(mass.number);
  const sign = isZero ? '±' : mass_kg < 0 ? '−' : '+';
  const total = isZero
    ? `${field}: total the same`
    : `${field} ${sign}${mass.number} ${mass.unit} (${withSign(share_pct, 2)} %)`;
  const width = error_kg === null ? '' : errorWords(error_kg, bushel_kg, units);
  const points = kept_points === 0 ? '' : `, ${withSign(kept_points, 0)} points on the map`;
  return `${total}${width}${points}`;
}

function errorWords(error_kg: number, bushel_kg: number, units: UnitSystem): string {
  const error = grainMass(Math.abs(1.96 * error_kg), bushel_kg, units);
  if (!/[1-9]/.test(error.number)) return '';
  return `, ± ${error.number} ${error.unit} ${error_kg > 0 ? 'less' : 'more'} certain`;
}

/** Digits after the point that a default of a rule is shown with. */
export function shortNumber(number: number): string {
  return decimal(number, Math.min(4, (String(number).split('.')[1] ?? '').length));
}
