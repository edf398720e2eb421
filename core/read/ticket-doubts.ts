/** What looks wrong about tickets that could be read: none of it stops them, the user decides. */
import type { Notice, Severity } from '../errors.ts';
import type { Ticket } from './ticket.ts';

/** A printed net may differ from gross − tare by the rounding of the scale. Choices of ours. */
const NET_TOLERANCE = 0.001;
const NET_TOLERANCE_KG = 1;
/** A load bounded by start and end fits on a truck; legal gross weights end well below. From memory, no source. */
const LARGEST_LOAD_KG = 100_000;
/** Nobody weighs less than this as a load of grain: likely tonnes under a kilogram heading. A choice of ours. */
const SMALLEST_LOAD_KG = 100;
/** Moistures outside are typing errors, or fractions under a percent heading. A choice of ours. */
const MOISTURE_PCT = { least: 2, most: 60 };
/** Bulk density of any grain, kg/m³, sunflower to peas with room to spare. A choice of ours. */
const BULK_DENSITY_KG_M3 = { least: 200, most: 1000 };

/** Lines that are told at most for a number that stands on several. */
const MOST_LINES = 10;

/** One notice for each doubt, in file order; then ticket numbers that stand on several rows. */
export function ticketDoubts(tickets: readonly Ticket[]): Notice[] {
  return [...tickets.flatMap(doubtsOf), ...repeatedNumbers(tickets)];
}

function doubtsOf(ticket: Ticket): Notice[] {
  const doubts: Notice[] = [];
  const add = (code: string, severity: Severity, what: string) =>
    doubts.push(notice(ticket, code, severity, what));
  const { net_kg, moisture_pct, bulk_density_kg_m3 } = ticket;
  const difference_kg = ticket.gross_kg - ticket.tare_kg;
  const gap_kg = Math.abs(difference_kg - net_kg);
  if (gap_kg > NET_TOLERANCE_KG && gap_kg > NET_TOLERANCE * Math.abs(net_kg)) {
    add(
      'ticket_net_disagrees',
      'look',
      `prints a net of ${shown(net_kg)} kg, but gross minus tare is ${shown(difference_kg)} kg; the net is used: check the paper.`,
    );
  }
  if (Number.isNaN(net_kg)) {
    add(
      'ticket_without_weight',
      'mend',
      'has no net weight, nor gross and tare; write it, or remove the row.',
    );
  } else if (net_kg <= 0) {
    add(
      'ticket_net_not_positive',
      'mend',
      `has a net weight of ${shown(net_kg)} kg; check gross and tare for a swap.`,
    );
  } else if (net_kg < SMALLEST_LOAD_KG) {
    add(
      'ticket_net_small',
      'look',
      `weighs only ${shown(net_kg)} kg; is the unit in the column's name right?`,
    );
  } else if (net_kg > LARGEST_LOAD_KG && !Number.isNaN(ticket.start_utc_s)) {
    add(
      'ticket_net_large',
      'look',
      `weighs ${shown(net_kg)} kg, more than a truck carries; is the unit in the column's name right?`,
    );
  }
  if (moisture_pct < MOISTURE_PCT.least || moisture_pct > MOISTURE_PCT.most) {
    add(
      'ticket_moisture',
      'look',
      `has a moisture of ${moisture_pct} %, which no grain at harvest has; write percent, not a fraction.`,
    );
  }
  if (bulk_density_kg_m3 < BULK_DENSITY_KG_M3.least || bulk_density_kg_m3 > BULK_DENSITY_KG_M3.most) {
    add(
      'ticket_test_weight',
      'look',
      `has a test weight of ${shown(bulk_density_kg_m3 / 10)} kg/hL, which no grain has; is the unit in the column's name right?`,
    );
  }
  return doubts;
}

function repeatedNumbers(tickets: readonly Ticket[]): Notice[] {
  const lines = new Map<string, Ticket[]>();
  for (const ticket of tickets) {
    const same = lines.get(ticket.ticket);
    if (same) same.push(ticket);
    else lines.set(ticket.ticket, [ticket]);
  }
  return [...lines.values()]
    .filter((same) => same.length > 1)
    .map((same) => {
      const others = same
        .slice(1, 1 + MOST_LINES)
        .map(({ source, line }) => `line ${line}${source === same[0].source ? '' : ` of ${source}`}`);
      if (same.length > 1 + MOST_LINES) others.push(`${same.length - 1 - MOST_LINES} more`);
      const what = `number stands also on ${others.join(' and ')} with other content; all of them are used: give each ticket a number of its own.`;
      return { ...notice(same[0], 'ticket_number_twice', 'look', what), count: same.length };
    });
}

function notice({ source, line, ticket }: Ticket, code: string, severity: Severity, what: string): Notice {
  return {
    code,
    severity,
    source,
    line,
    count: 1,
    text: `${source}, line ${line}: ticket ${ticket} ${what}`,
  };
}

function shown(amount: number): string {
  return String(Math.round(amount * 10) / 10);
}
