/**
 * Figures as they are read by people: grouped, with a fixed number of digits, in US or metric units. No locale takes
 * part, so that a report is the same bytes on every machine.
 */
import {
  acresFromM2,
  buAcFromKgM2,
  kgM2FromTHa,
  lbFromKg,
  M2_PER_ACRE,
  m2FromHa,
  tonnesFromKg,
} from '../../units.ts';

export type UnitSystem = 'us' | 'metric';

/** A number in words of one unit: `19.91` `ha`. */
export interface Figure {
  readonly number: string;
  readonly unit: string;
}

/** The same quantity in the sheet's own units and in the other ones. */
export interface FigurePair {
  readonly first: Figure;
  readonly second: Figure;
}

/** What stands where there is no number. */
export const ABSENT = '–';

/** `12,345.6`, with a true minus; `–` where there is no number. */
export function grouped(number: number | null | undefined, digits: number): string {
  if (number === null || number === undefined || !Number.isFinite(number)) return ABSENT;
  const [whole, fraction] = Math.abs(number).toFixed(digits).split('.');
  const sign = number < 0 && Number(number.toFixed(digits)) !== 0 ? '−' : '';
  const groups = whole.replaceAll(/\B(?=(\d{3})+$)/g, ',');
  return fraction === undefined ? `${sign}${groups}` : `${sign}${groups}.${fraction}`;
}

/** `+1.4` or `−0.7`. */
export function signed(number: number | null, digits: number): string {
  const text = grouped(number, digits);
  return number !== null && number > 0 && Number(number.toFixed(digits)) !== 0 ? `+${text}` : text;
}

/** `6.2 %`. */
export function percent(share: number, digits = 1): string {
  return `${grouped(100 * share, digits)} %`;
}

/** Acres and hectares. */
export function areaPair(area_ha: number, system: UnitSystem): FigurePair {
  const us = { number: grouped(acresFromM2(m2FromHa(area_ha)), 2), unit: 'ac' };
  return ordered(us, { number: grouped(area_ha, 2), unit: 'ha' }, system);
}

/** Bushels per acre (pounds, where the crop has no bushel: `bushel_kg` NaN) and tonnes per hectare. */
export function yieldPair(yield_t_ha: number | null, bushel_kg: number, system: UnitSystem): FigurePair {
  const scale = yieldScale('us', bushel_kg);
  const us = { number: grouped(scale.from(yield_t_ha), scale.digits), unit: scale.unit };
  return ordered(us, { number: grouped(yield_t_ha, 2), unit: 't/ha' }, system);
}

/** Bushels (pounds, where the crop has none) and tonnes. */
export function massPair(mass_kg: number | null, bushel_kg: number, system: UnitSystem): FigurePair {
  const us = Number.isFinite(bushel_kg)
    ? { number: grouped(mass_kg === null ? null : mass_kg / bushel_kg, 0), unit: 'bu' }
    : { number: grouped(mass_kg === null ? null : lbFromKg(mass_kg), 0), unit: 'lb' };
  const metric = { number: grouped(mass_kg === null ? null : tonnesFromKg(mass_kg), 2), unit: 't' };
  return ordered(us, metric, system);
}

/** Pounds or kilograms, as scales print them. */
export function scaleMass(mass_kg: number | null, system: UnitSystem): Figure {
  if (system === 'metric') return { number: grouped(mass_kg, 0), unit: 'kg' };
  return { number: grouped(mass_kg === null ? null : lbFromKg(mass_kg), 0), unit: 'lb' };
}

/** Name of the unit in which `scaleMass` speaks. */
export function scaleUnit(system: UnitSystem): string {
  return system === 'metric' ? 'kg' : 'lb';
}

/** How yields are shown in one unit. */
export interface YieldScale {
  readonly unit: string;
  readonly digits: number;
  readonly from: (yield_t_ha: number | null) => number;
}

export function yieldScale(system: UnitSystem, bushel_kg: number): YieldScale {
  if (system === 'metric') return { unit: 't/ha', digits: 2, from: (t_ha) => t_ha ?? Number.NaN };
  const kg_m2 = (t_ha: number | null) => kgM2FromTHa(t_ha ?? Number.NaN);
  if (Number.isFinite(bushel_kg)) {
    return { unit: 'bu/ac', digits: 1, from: (t_ha) => buAcFromKgM2(kg_m2(t_ha), bushel_kg) };
  }
  return { unit: 'lb/ac', digits: 0, from: (t_ha) => lbFromKg(kg_m2(t_ha) * M2_PER_ACRE) };
}

function ordered(us: Figure, metric: Figure, system: UnitSystem): FigurePair {
  return system === 'us' ? { first: us, second: metric } : { first: metric, second: us };
}
