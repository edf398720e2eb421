/**
 * What may have gone wrong on a ticket: corrections of its weight that bring the load to what the other loads expect.
 * Only a hint: with an error of some per cent a changed digit often fits by chance, so the likelier and rarer-fitting
 * mistakes come first, and the sentence says "would fit".
 */
import type { Ticket } from '../read/ticket.ts';
import { KG_PER_LB, KG_PER_SHORT_TON, KG_PER_TONNE } from '../units.ts';

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

function netMistakes({ net_kg, gross_kg, tare_kg }: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  if (Math.abs(gross_kg - tare_kg - net_kg) > AGREE_KG)
    mistakes.push({
      kind: 'net_not_gross_less_tare',
      corrected_kg: gross_kg - tare_kg,
      text: `gross less tare (${weightText(gross_kg - tare_kg)}) would fit, the net as written does not`,
    });
  if (tare_kg > 0) {
    mistakes.push({
      kind: 'gross_for_net',
      corrected_kg: net_kg - tare_kg,
      text: `the gross weight entered for the net; less the tare of ${weightText(tare_kg)} it would fit`,
    });
    mistakes.push({
      kind: 'tare_twice',
      corrected_kg: net_kg + tare_kg,
      text: `the tare of ${weightText(tare_kg)} taken off twice; with it the weight would fit`,
    });
  }
  return mistakes;
}

function unitMistakes({ net_kg }: Ticket): TicketMistake[] {
  return [
    {
      kind: 'lb_for_kg',
      corrected_kg: net_kg * KG_PER_LB,
      text: 'pounds entered as kilograms; as pounds the weight would fit',
    },
    {
      kind: 'kg_for_lb',
      corrected_kg: net_kg / KG_PER_LB,
      text: 'kilograms entered as pounds; as kilograms the weight would fit',
    },
  ];
}

function tonMistakes({ net_kg }: Ticket): TicketMistake[] {
  return [
    {
      kind: 'short_ton_for_tonne',
      corrected_kg: (net_kg * KG_PER_SHORT_TON) / KG_PER_TONNE,
      text: 'US tons (2000 lb) entered as metric tons; as US tons the weight would fit',
    },
    {
      kind: 'tonne_for_short_ton',
      corrected_kg: (net_kg * KG_PER_TONNE) / KG_PER_SHORT_TON,
      text: 'metric tons entered as US tons (2000 lb); as metric tons the weight would fit',
    },
  ];
}

function shiftedDigits({ net_kg }: Ticket): TicketMistake[] {
  const of = (corrected_kg: number, what: string): TicketMistake => ({
    kind: 'shifted_digits',
    corrected_kg,
    text: `a digit ${what}; ${weightText(corrected_kg)} would fit`,
  });
  return [of(net_kg * 10, 'left out'), of(net_kg / 10, 'too many')];
}

const neighboursSwapped = (ticket: Ticket): TicketMistake[] => swappedDigits(ticket, 1);

const anySwapped = (ticket: Ticket): TicketMistake[] => swappedDigits(ticket, Number.POSITIVE_INFINITY);

/** Digits at most `reach` places apart. */
function swappedDigits({ net_kg }: Ticket, reach: number): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  for (const { digits, kg_per_unit, unit } of writingsOf(net_kg))
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

function mistypedDigits({ net_kg }: Ticket): TicketMistake[] {
  const mistakes: TicketMistake[] = [];
  for (const { digits, kg_per_unit, unit } of writingsOf(net_kg))
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

/** A weight nearer to a whole number than this was written as that number, in the unit's last place. */
const WHOLE = 0.01;

interface Writing {
  readonly digits: string;
  readonly kg_per_unit: number;
  readonly unit: 'kg' | 'lb' | 'US tons';
}

/**
 * How a weight may have been written, likeliest first: whole kilograms (metric tons have the same digits), else whole
 * pounds, and perhaps hundredths of a US ton.
 */
function writingsOf(mass_kg: number): Writing[] {
  const whole = (number: number) => Math.abs(number - Math.round(number)) < WHOLE;
  const write = (unit: Writing['unit'], kg_per_unit: number, decimals: number): Writing => ({
    digits: (mass_kg / kg_per_unit).toFixed(decimals),
    kg_per_unit,
    unit,
  });
  if (whole(mass_kg)) return [write('kg', 1, 0)];
  const pounds = write('lb', KG_PER_LB, 0);
  return whole((100 * mass_kg) / KG_PER_SHORT_TON)
    ? [pounds, write('US tons', KG_PER_SHORT_TON, 2)]
    : [pounds];
}

/** A mass as its ticket would show it: whole kilograms, or whole pounds where that is what was written. */
export function weightText(mass_kg: number): string {
  const [{ digits, unit }] = writingsOf(mass_kg);
  return `${digits} ${unit}`;
}
