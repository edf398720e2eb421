/**
 * Which grain a ticket claims: a window of time of one machine (or of whichever delivered), or all that was cut in a
 * field. Tickets that claim the same grain make one load together.
 */
import type { Notice, Severity } from '../errors.ts';
import type { Crop } from '../grain/crops.ts';
import { nearestWord } from '../nearest-word.ts';
import type { Ticket } from '../read/ticket.ts';
import type { RunningTime } from '../signal/flow.ts';
import type { GrainPassage } from '../signal/grain-passage.ts';

/** A machine's beam over the season; a machine may have several such records. */
export interface BeamRecord {
  /** Id in season.json. */
  readonly machine: string;
  readonly machine_name: string;
  readonly passage: GrainPassage;
  readonly running: RunningTime;
}

/** A field, and when grain cut in it passed the beam. */
export interface CutField {
  readonly name: string;
  readonly crop: Crop;
  /** By machine: start and end of each spell, one after the other, s from the season's epoch, lag and all. */
  readonly spells: readonly { readonly machine: string; readonly bounds_s: Float64Array }[];
}

/** Tickets of one load, and the grain that they claim. */
export interface TicketClaim {
  readonly tickets: readonly Ticket[];
  /** Machine id; `undefined` when the tickets name none. */
  readonly machine: string | undefined;
  /** Field that a ticket names. */
  readonly field: CutField | undefined;
  /** Window from the season's epoch; `undefined` for all that was cut in the field. */
  readonly window: { readonly start_s: number; readonly end_s: number } | undefined;
}

/**
 * Claims in the order of their first ticket. Tickets without a usable weight are passed over (the reader has said so);
 * those that name an unknown machine or field, or neither times nor a field, are left out with a notice.
 *
 * One load are: tickets of one machine with the same start and end; a ticket without times that carries the name of
 * one with times; and all tickets without times of one field (and machine, where named).
 */
export function claimsOfTickets(
  tickets: readonly Ticket[],
  records: readonly BeamRecord[],
  fields: readonly CutField[],
  epoch_utc_s: number,
): { readonly claims: readonly TicketClaim[]; readonly notices: readonly Notice[] } {
  const claims = new Map<string, TicketClaim>();
  const notices: Notice[] = [];
  const only = onlyField(records, fields);
  const standing: Ticket[] = [];
  const weighed = tickets.filter((ticket) => ticket.net_kg > 0 && Number.isFinite(ticket.net_kg));
  for (const ticket of weighed) {
    const machine = machineNamed(ticket, records, notices);
    const named = fieldNamed(ticket, fields, notices);
    if (machine === null || named === null) continue;
    const times = hasTimes(ticket) ? ticket : weighed.find((other) => isSameLoad(ticket, other));
    const field = named ?? (times === undefined ? only : undefined);
    if (field !== named) standing.push(ticket);
    if (times === undefined && field === undefined) {
      const what =
        'names neither start and end nor a field, so that its grain is not known; add one of them.';
      notices.push(ticketNotice(ticket, 'ticket_without_grain', 'mend', what));
      continue;
    }
    const window = times && {
      start_s: times.start_utc_s - epoch_utc_s,
      end_s: times.end_utc_s - epoch_utc_s,
    };
    const by = machine ?? (times && machineNamed(times, records, [])) ?? undefined;
    const key = JSON.stringify(window ? [window.start_s, window.end_s, by] : [field?.name, by]);
    const claim = claims.get(key) ?? { tickets: [], machine: by, field, window };
    claims.set(key, { ...claim, tickets: [...claim.tickets, ticket], field: claim.field ?? field });
  }
  if (only !== undefined && standing.length > 0) notices.push(standsForOnly(standing, only));
  return { claims: [...claims.values()], notices };
}

/** The season's field, where it has one field and one machine: then a ticket can only be of that. */
function onlyField(records: readonly BeamRecord[], fields: readonly CutField[]): CutField | undefined {
  const machines = new Set(records.map(({ machine }) => machine));
  return fields.length === 1 && machines.size === 1 ? fields[0] : undefined;
}

function standsForOnly(tickets: readonly Ticket[], { name }: CutField): Notice {
  const [{ source, line }] = tickets;
  const many = tickets.length > 1;
  const text = `${source}, line ${line}: ${many ? `${tickets.length} tickets name` : `ticket ${tickets[0].ticket} names`} neither start and end nor a field; as there is one field and one machine, ${many ? 'they stand together' : 'it stands'} for all of "${name}". Add start and end if ${many ? 'they are of parts of it' : 'it is of a part of it'}.`;
  return { code: 'ticket_for_only_field', severity: 'info', source, line, count: tickets.length, text };
}

const hasTimes = (ticket: Ticket): boolean =>
  Number.isFinite(ticket.start_utc_s) && Number.isFinite(ticket.end_utc_s);

/** Whether a ticket without times belongs to `timed`: the same name, and no other machine or field. */
function isSameLoad(ticket: Ticket, timed: Ticket): boolean {
  const agree = (a: string | undefined, b: string | undefined) =>
    a === undefined || b === undefined || plain(a) === plain(b);
  return (
    hasTimes(timed) &&
    ticket.ticket === timed.ticket &&
    agree(ticket.machine, timed.machine) &&
    agree(ticket.field, timed.field)
  );
}

/** Id of the machine that a ticket names by id or name; `undefined` when it names none, `null` when there is no such. */
function machineNamed(
  ticket: Ticket,
  records: readonly BeamRecord[],
  notices: Notice[],
): string | undefined | null {
  if (ticket.machine === undefined) return undefined;
  const wanted = plain(ticket.machine);
  const found = records.find(
    ({ machine, machine_name }) => plain(machine) === wanted || plain(machine_name) === wanted,
  );
  if (found !== undefined) return found.machine;
  const known = [...new Set(records.flatMap(({ machine, machine_name }) => [machine, machine_name]))];
  notices.push(unknownName(ticket, 'machine', ticket.machine, known));
  return null;
}

function fieldNamed(
  ticket: Ticket,
  fields: readonly CutField[],
  notices: Notice[],
): CutField | undefined | null {
  if (ticket.field === undefined) return undefined;
  const wanted = plain(ticket.field);
  const found = fields.find((field) => plain(field.name) === wanted);
  if (found !== undefined) return found;
  notices.push(
    unknownName(
      ticket,
      'field',
      ticket.field,
      fields.map((field) => field.name),
    ),
  );
  return null;
}

function unknownName(
  ticket: Ticket,
  what: 'machine' | 'field',
  name: string,
  known: readonly string[],
): Notice {
  const near = nearestWord(name, known);
  const hint =
    near === undefined
      ? `known are ${known.map((word) => `"${word}"`).join(', ')}`
      : `did you mean "${near}"`;
  const ending = near === undefined ? '.' : '?';
  return ticketNotice(
    ticket,
    `ticket_${what}_unknown`,
    'mend',
    `names the ${what} "${name}", which has no log here, and is left out; ${hint}${ending}`,
  );
}

/** A notice about one ticket: where it stands, which it is, what about it. */
export function ticketNotice(ticket: Ticket, code: string, severity: Severity, what: string): Notice {
  const { source, line } = ticket;
  const text = `${source}, line ${line}: ticket ${ticket.ticket} ${what}`;
  return { code, severity, source, line, count: 1, text };
}

const plain = (name: string): string => name.trim().toLowerCase();
