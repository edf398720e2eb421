/** Weights and factors as sentences say them: a weight in the unit in which its ticket shows it. */
import type { Ticket, WeightUnit } from '../read/ticket.ts';
import { KG_PER_LB, KG_PER_SHORT_TON, KG_PER_TONNE } from '../units.ts';

/** A weight as it stands, or may stand, on a ticket. */
export interface WrittenWeight {
  readonly digits: string;
  readonly kg_per_unit: number;
  readonly unit: string;
}

interface UnitWriting {
  readonly kg_per_unit: number;
  readonly word: string;
  /** Decimals with which weights are usually written. */
  readonly decimals: number;
}

const WRITINGS: Readonly<Record<WeightUnit, UnitWriting>> = {
  kg: { kg_per_unit: 1, word: 'kg', decimals: 0 },
  lb: { kg_per_unit: KG_PER_LB, word: 'lb', decimals: 0 },
  t: { kg_per_unit: KG_PER_TONNE, word: 't', decimals: 2 },
  ston: { kg_per_unit: KG_PER_SHORT_TON, word: 'US tons', decimals: 2 },
};

/** A weight nearer to a whole number of last places than this was written so. */
const WHOLE = 0.01;
/** Scales show no more decimals than these. */
const MOST_DECIMALS = 3;

const isWhole = (number: number) => Math.abs(number - Math.round(number)) < WHOLE;

/**
 * How the ticket's net weight was written, likeliest first: in the unit of its column where that is known, else whole
 * kilograms, whole pounds with perhaps hundredths of a US ton, or kilograms with decimals.
 */
export function writingsOf({ net_kg, written_in }: Pick<Ticket, 'net_kg' | 'written_in'>): WrittenWeight[] {
  if (written_in !== undefined) return [written(net_kg, written_in)];
  if (isWhole(net_kg)) return [written(net_kg, 'kg')];
  if (!isWhole(net_kg / KG_PER_LB)) return [written(net_kg, 'kg')];
  const pounds = written(net_kg, 'lb');
  return isWhole((100 * net_kg) / KG_PER_SHORT_TON) ? [pounds, written(net_kg, 'ston')] : [pounds];
}

/** A mass with its unit, as a ticket written in `unit` would show it; without one, by the likeliest writing. */
export function weightText(mass_kg: number, unit?: WeightUnit): string {
  const [weight] = writingsOf({ net_kg: mass_kg, ...(unit === undefined ? {} : { written_in: unit }) });
  return `${weight.digits} ${weight.unit}`;
}

/** How many times larger: three digits, never as a power of ten. */
export function factorText(factor: number): string {
  return factor >= 100 ? String(Math.round(factor)) : String(Number(factor.toPrecision(3)));
}

function written(mass_kg: number, unit: WeightUnit): WrittenWeight {
  const { kg_per_unit, word, decimals: usual } = WRITINGS[unit];
  const amount = mass_kg / kg_per_unit;
  let decimals = usual;
  while (decimals < MOST_DECIMALS && !isWhole(amount * 10 ** decimals)) decimals++;
  return { digits: amount.toFixed(decimals), kg_per_unit, unit: word };
}
