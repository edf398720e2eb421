/**
 * What may have gone wrong on a ticket: corrections of its weight that bring the load to what the other loads expect.
 * Only a hint: with an error of some per cent a changed digit often fits by chance, so the likelier and rarer-fitting
 * mistakes come first, and the sentence says "would fit".
 */
import type { Ticket, WeightUnit } from '../read/ticket.ts';
import { KG_PER_LB, KG_PER_SHORT_TON, KG_PER_TONNE } from '../units.ts';
import { weightText, writingsOf } from './weight-text.ts';

/** A correction of one ticket, and what it says about how the mistake was made. */
export interface TicketMistake {
  readonly kind:
    | 'net_not_gross_less_tare'
    | 'gross_for_net'
    | 'tare_twice'
    | 'lb_for_kg'
    | 'kg_for_lb'
    | 'shifted_digits'
    | 'short_ton_for_tonne'
    | 'tonne_for_short_ton'
    | 'swapped_digits'
    | 'mistyped_digit';
  /** Load mass after the correction. */
  readonly corrected_kg: number;
  /** Plain words, without the ticket's name. */
  readonly text: string;
}

/**
 * The likeliest mistake on one of a load's tickets that explains its mass, if one does: the first kind (in the order
 * of `kinds`) with a correction within `tolerance_kg` of `expected_kg`, and of that kind the one that fits best.
 */
export function findTicketMistake(
  tickets: readonly Ticket[],
  scale_kg: number,
  expected_kg: number,
  tolerance_kg: number,
): TicketMistake | undefined {
  const kinds = [
    netMistakes,
    unitMistakes,
    shiftedDigits,
    neighboursSwapped,
    tonMistakes,
    anySwapped,
    mistypedDigits,
  ];
  for (const kind of kinds) {
    const fitting = tickets
      .flatMap((ticket) =>
        kind(ticket).map((mistake) => ({
          ...mistake,
          corrected_kg: scale_kg - ticket.net_kg + mistake.corrected_kg,
        })),
      )
      .filter((mistake) => Math.abs(mistake.corrected_kg - expected_kg) <= tolerance_kg)
      .sort((a, b) => Math.abs(a.corrected_kg - expected_kg) - Math.abs(b.corrected_kg - expected_kg));
    if (fitting.length > 0) return fitting[0];
  }
  return undefined;
}

/** A gross and tare within this of the net agree with it. */
const AGREE_KG = 1;

function netMistakes({ net_kg, gross_kg, tare_kg, written_in }: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  if (Math.abs(gross_kg - tare_kg - net_kg) > AGREE_KG)
    mistakes.push({
      kind: 'net_not_gross_less_tare',
      corrected_kg: gross_kg - tare_kg,
      text: `gross less tare (${weightText(gross_kg - tare_kg, written_in)}) would fit, the net as written does not`,
    });
  if (tare_kg > 0) {
    mistakes.push({
      kind: 'gross_for_net',
      corrected_kg: net_kg - tare_kg,
      text: `the gross weight entered for the net; less the tare of ${weightText(tare_kg, written_in)} it would fit`,
    });
    mistakes.push({
      kind: 'tare_twice',
      corrected_kg: net_kg + tare_kg,
      text: `the tare of ${weightText(tare_kg, written_in)} taken off twice; with it the weight would fit`,
    });
  }
  return mistakes;
}

/** Whether the weight may stand in a column of that unit; where the unit is not known, any may. */
const mayBe = (unit: WeightUnit, written_in: WeightUnit | undefined) =>
  written_in === undefined || written_in === unit;

function unitMistakes({ net_kg, written_in }: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  if (mayBe('kg', written_in))
    mistakes.push({
      kind: 'lb_for_kg',
      corrected_kg: net_kg * KG_PER_LB,
      text: 'pounds entered as kilograms; as pounds the weight would fit',
    });
  if (mayBe('lb', written_in))
    mistakes.push({
      kind: 'kg_for_lb',
      corrected_kg: net_kg / KG_PER_LB,
      text: 'kilograms entered as pounds; as kilograms the weight would fit',
    });
  return mistakes;
}

function tonMistakes({ net_kg, written_in }: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  if (mayBe('t', written_in))
    mistakes.push({
      kind: 'short_ton_for_tonne',
      corrected_kg: (net_kg * KG_PER_SHORT_TON) / KG_PER_TONNE,
      text: 'US tons (2000 lb) entered as metric tons; as US tons the weight would fit',
    });
  if (mayBe('ston', written_in))
    mistakes.push({
      kind: 'tonne_for_short_ton',
      corrected_kg: (net_kg * KG_PER_TONNE) / KG_PER_SHORT_TON,
      text: 'metric tons entered as US tons (2000 lb); as metric tons the weight would fit',
    });
  return mistakes;
}

function shiftedDigits({ net_kg, written_in }: Ticket): TicketMistake[] {
  const of = (corrected_kg: number, what: string): TicketMistake => ({
    kind: 'shifted_digits',
    corrected_kg,
    text: `a digit ${what}; ${weightText(corrected_kg, written_in)} would fit`,
  });
  return [of(net_kg * 10, 'left out'), of(net_kg / 10, 'too many')];
}

const neighboursSwapped = (ticket: Ticket): TicketMistake[] => swappedDigits(ticket, 1);

const anySwapped = (ticket: Ticket): TicketMistake[] => swappedDigits(ticket, Number.POSITIVE_INFINITY);

/** Digits at most `reach` places apart. */
function swappedDigits(ticket: Ticket, reach: number): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  for (const { digits, kg_per_unit, unit } of writingsOf(ticket))
    for (let i = 0; i < digits.length; i++)
      for (let j = i + 1; j < digits.length && j <= i + reach; j++) {
        if (digits[i] === digits[j] || digits[i] === '.' || digits[j] === '.') continue;
        const swapped = replaced(replaced(digits, i, digits[j]), j, digits[i]);
        mistakes.push({
          kind: 'swapped_digits',
          corrected_kg: Number(swapped) * kg_per_unit,
          text: `two digits swapped; ${swapped} ${unit} instead of ${digits} ${unit} would fit`,
        });
      }
  return mistakes;
}

function mistypedDigits(ticket: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  for (const { digits, kg_per_unit, unit } of writingsOf(ticket))
    for (let i = 0; i < digits.length; i++)
      for (const digit of '0123456789') {
        if (digit === digits[i] || digits[i] === '.') continue;
        const typed = replaced(digits, i, digit);
        mistakes.push({
          kind: 'mistyped_digit',
          corrected_kg: Number(typed) * kg_per_unit,
          text: `one digit mistyped; ${typed} ${unit} instead of ${digits} ${unit} would fit`,
        });
      }
  return mistakes;
}

const replaced = (digits: string, i: number, digit: string): string =>
  digits.slice(0, i) + digit + digits.slice(i + 1);
