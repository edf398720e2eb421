/**
 * Numbers as the window shows them: in the user's locale, in US or metric units, number and unit apart so that the unit
 * can stand in a quieter weight. Everything that comes in is SI (or t/ha, ha as in the summary); NaN and null are "–".
 */
import {
  acresFromM2,
  buAcFromKgM2,
  ftFromM,
  kgM2FromTHa,
  lbFromKg,
  M2_PER_ACRE,
  m2FromHa,
  mphFromMPerS,
  tonnesFromKg,
} from '../../core/units.ts';

export type UnitSystem = 'us' | 'metric';

export interface Quantity {
  readonly number: string;
  readonly unit: string;
}

export const ABSENT = '–';

type Given = number | null | undefined;

/** Formatters are dear to make: one a number of digits and locale. */
const formatters = new Map<string, Intl.NumberFormat>();

/** `12,345.6`, or what the user's locale makes of it. */
export function decimal(number: Given, digits: number, locale?: string): string {
  if (number === null || number === undefined || !Number.isFinite(number)) return ABSENT;
  const key = `${locale ?? ''} ${digits}`;
  let formatter = formatters.get(key);
  if (formatter === undefined) {
    formatter = new Intl.NumberFormat(locale, {
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    });
    formatters.set(key, formatter);
  }
  // A rounded −0 reads as a fault; the true minus is as wide as the plus.
  const rounded = Number(number.toFixed(digits));
  return formatter.format(rounded === 0 ? 0 : rounded).replace('-', '−');
}

/** `+1.4`, `−0.7`, `0.0` */
export function withSign(number: Given, digits: number, locale?: string): string {
  const text = decimal(number, digits, locale);
  const isMore = typeof number === 'number' && Number(number.toFixed(digits)) > 0;
  return isMore ? `+${text}` : text;
}

export function percentOf(share: Given, digits = 1): Quantity {
  return { number: decimal(scaled(share, 100), digits), unit: '%' };
}

export function area(area_ha: Given, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(area_ha, 2), unit: 'ha' };
  return {
    number: decimal(
      turned(area_ha, (ha) => acresFromM2(m2FromHa(ha))),
      2,
    ),
    unit: 'ac',
  };
}

/** Grain in the trade's unit: bushels (pounds where the crop has no bushel), or tonnes. */
export function grainMass(mass_kg: Given, bushel_kg: number, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(turned(mass_kg, tonnesFromKg), 2), unit: 't' };
  if (Number.isFinite(bushel_kg)) return { number: decimal(scaled(mass_kg, 1 / bushel_kg), 0), unit: 'bu' };
  return { number: decimal(turned(mass_kg, lbFromKg), 0), unit: 'lb' };
}

/** As a scale prints it. */
export function scaleMass(mass_kg: Given, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(mass_kg, 0), unit: 'kg' };
  return { number: decimal(turned(mass_kg, lbFromKg), 0), unit: 'lb' };
}

export function yieldOf(yield_t_ha: Given, bushel_kg: number, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(yield_t_ha, 2), unit: 't/ha' };
  if (Number.isFinite(bushel_kg)) {
    const bu_ac = turned(yield_t_ha, (t_ha) => buAcFromKgM2(kgM2FromTHa(t_ha), bushel_kg));
    return { number: decimal(bu_ac, 1), unit: 'bu/ac' };
  }
  const lb_ac = turned(yield_t_ha, (t_ha) => lbFromKg(kgM2FromTHa(t_ha) * M2_PER_ACRE));
  return { number: decimal(lb_ac, 0), unit: 'lb/ac' };
}

export function speed(speed_m_s: Given, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(speed_m_s, 2), unit: 'm/s' };
  return { number: decimal(turned(speed_m_s, mphFromMPerS), 1), unit: 'mph' };
}

export function width(width_m: Given, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(width_m, 2), unit: 'm' };
  return { number: decimal(turned(width_m, ftFromM), 1), unit: 'ft' };
}

/** Kilograms or pounds in a second. */
export function massFlow(flow_kg_s: Given, system: UnitSystem): Quantity {
  if (system === 'metric') return { number: decimal(flow_kg_s, 1), unit: 'kg/s' };
  return { number: decimal(turned(flow_kg_s, lbFromKg), 1), unit: 'lb/s' };
}

export function seconds(time_s: Given, digits = 1): Quantity {
  return { number: decimal(time_s, digits), unit: 's' };
}

/** `3,914 ± 41 bu`: both in the unit of the first. */
export function withError(main: Quantity, error: Quantity): Quantity {
  if (error.number === ABSENT) return main;
  return { number: `${main.number} ± ${error.number}`, unit: main.unit };
}

function turned(number: Given, turn: (given: number) => number): number {
  return number === null || number === undefined ? Number.NaN : turn(number);
}

function scaled(number: Given, factor: number): number {
  return turned(number, (given) => given * factor);
}
