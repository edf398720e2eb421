/** Columns of scale tickets: names without regard to capitals, the unit in the name. */
import { nearestWord } from '../nearest-word.ts';
import { KG_PER_LB, KG_PER_SHORT_TON, KG_PER_TONNE, kgM3FromKgHl, kgM3FromLbBu } from '../units.ts';
import type { WeightUnit } from './ticket.ts';

/** What a ticket's column may say. */
export type TicketQuantity =
  | 'ticket'
  | 'field'
  | 'machine'
  | 'start'
  | 'end'
  | 'gross'
  | 'tare'
  | 'net'
  | 'moisture'
  | 'test_weight';

export interface TicketColumn {
  readonly index: number;
  /** Header text as written. */
  readonly name: string;
  /** To kg, % or kg/m³; 1 for texts and times. */
  readonly factor: number;
  /** Of weights. */
  readonly unit?: WeightUnit;
}

export interface TicketColumns {
  /** Several columns of one quantity (net_kg beside net_lb) stand in file order; the first filled cell wins. */
  readonly of: ReadonlyMap<TicketQuantity, readonly TicketColumn[]>;
  /** Columns that mean nothing here, with the known name that is nearest, if any. */
  readonly unknown: readonly { readonly name: string; readonly near: string | undefined }[];
}

/** What a file needs so that any weight can be read from it, for sentences. */
export const EXPECTED_TICKET_COLUMNS =
  'net_kg (or net_lb, net_t, net_ston), or gross_… and tare_… in such a unit, beside ticket, field, machine, start, end, moisture_pct, test_weight_kg_hl or test_weight_lb_bu';

const MASS_KG: Readonly<Record<WeightUnit, number>> = {
  kg: 1,
  lb: KG_PER_LB,
  t: KG_PER_TONNE,
  ston: KG_PER_SHORT_TON,
};

type KnownColumn = Pick<TicketColumn, 'factor' | 'unit'> & { readonly quantity: TicketQuantity };

const KNOWN: ReadonlyMap<string, KnownColumn> = new Map<string, KnownColumn>([
  ['ticket', { quantity: 'ticket', factor: 1 }],
  ['field', { quantity: 'field', factor: 1 }],
  ['machine', { quantity: 'machine', factor: 1 }],
  ['start', { quantity: 'start', factor: 1 }],
  ['end', { quantity: 'end', factor: 1 }],
  ...weights('gross'),
  ...weights('tare'),
  ...weights('net'),
  ['moisture_pct', { quantity: 'moisture', factor: 1 }],
  ['test_weight_kg_hl', { quantity: 'test_weight', factor: kgM3FromKgHl(1) }],
  ['test_weight_lb_bu', { quantity: 'test_weight', factor: kgM3FromLbBu(1) }],
]);

function weights(quantity: 'gross' | 'tare' | 'net'): [string, KnownColumn][] {
  const units = Object.keys(MASS_KG) as WeightUnit[];
  return units.map((unit) => [`${quantity}_${unit}`, { quantity, factor: MASS_KG[unit], unit }]);
}

/** Sorts a header into quantities and strangers. */
export function ticketColumns(header: readonly string[]): TicketColumns {
  const of = new Map<TicketQuantity, TicketColumn[]>();
  const unknown: { name: string; near: string | undefined }[] = [];
  header.forEach((name, index) => {
    const known = KNOWN.get(name.toLowerCase());
    if (known) {
      const columns = of.get(known.quantity) ?? [];
      const { quantity, ...meaning } = known;
      columns.push({ index, name, ...meaning });
      of.set(quantity, columns);
    } else if (name !== '') {
      unknown.push({ name, near: nearestWord(name, [...KNOWN.keys()]) });
    }
  });
  return { of, unknown };
}

/** Whether a weight can be read: a net column, or gross and tare. */
export function hasWeight(columns: TicketColumns): boolean {
  return columns.of.has('net') || (columns.of.has('gross') && columns.of.has('tare'));
}
