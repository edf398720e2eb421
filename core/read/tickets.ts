/** Scale tickets from delimited text, in SI, with what looks wrong about them. */
import { type DataError, failure, type Notice, type Result, type Severity, success } from '../errors.ts';
import { fewOfEach } from '../notice-limit.ts';
import { shownNames, shownText } from '../shown-text.ts';
import { type DelimitedTable, numberFromCell, parseDelimited } from './delimited.ts';
import type { Ticket, WeightUnit } from './ticket.ts';
import {
  EXPECTED_TICKET_COLUMNS,
  hasWeight,
  type TicketColumns,
  type TicketQuantity,
  ticketColumns,
} from './ticket-columns.ts';
import { ticketDoubts } from './ticket-doubts.ts';
import { timeFromIso } from './utc.ts';

export interface TicketReading {
  readonly tickets: readonly Ticket[];
  readonly lines: number;
}

/**
 * Reads tickets separated by comma, semicolon or tab. Each doubtful cell is a notice with its line. A row whose weight or
 * time is written but cannot be read is left out: without its times it would wrongly stand for the whole field.
 * A row that stands there twice is left out once. Fails with `empty_file`, `ticket_columns`, `no_ticket` or
 * `too_many_tickets`.
 */
export function readTickets(text: string, source: string): Result<TicketReading> {
  const parsed = parseDelimited(text, source);
  if (!parsed.ok) return failure(parsed.error);
  const table = parsed.value;
  const columns = ticketColumns(table.header);
  const notices = columns.unknown.map(({ name, near }) => unknownColumn(table, name, near));
  if (!hasWeight(columns)) {
    const isData = table.header.some((name) => /^\d+([.,]\d+)?$/.test(name));
    const hint = isData
      ? '; its first line looks like a ticket: write the names of the columns above it'
      : '';
    const sentence = `${source} has no weight that can be read: it needs ${EXPECTED_TICKET_COLUMNS}; found are ${shownNames(table.header)}${hint}.`;
    return failure(
      { code: 'ticket_columns', source, line: table.headerLine, text: sentence },
      fewOfEach(notices),
    );
  }
  const rows = new TicketRows(table, columns, notices);
  const tickets = rows.read();
  if (tickets.length > MOST_TICKETS) return failure(tooManyTickets(source), fewOfEach(notices));
  const found = fewOfEach([...notices, ...ticketDoubts(tickets)]);
  if (tickets.length === 0) return failure(noTicket(source, found), found);
  return success({ tickets, lines: table.lineCount }, found);
}

/** A season has hundreds of loads; a file of more rows is a log that got in here. A choice of ours. */
const MOST_TICKETS = 2000;

function tooManyTickets(source: string): DataError {
  const text = `${source} holds more than ${MOST_TICKETS} rows, far more than the loads of a season: it is likely a log; list it under logs.`;
  return { code: 'too_many_tickets', source, text };
}

/** The first row's fault stands for all: it is likely the same in each. */
function noTicket(source: string, notices: readonly Notice[]): DataError {
  const first = notices.find(({ severity }) => severity === 'mend');
  const text = first?.text ?? `${source} holds no ticket; add rows below the header.`;
  return { code: 'no_ticket', source, line: first?.line, text };
}

/** Thousands parted by commas, as scales print them: 54,320 or 54,320.5. */
const THOUSANDS = /^\d{1,3}(,\d{3})+(\.\d+)?$/;

/** Ticket numbers and names are cut here: where a season's sheet allows no longer ones, so that its names are found again. */
const LONGEST_NAME = 300;

class TicketRows {
  readonly #table: DelimitedTable;
  readonly #columns: TicketColumns;
  readonly #notices: Notice[];
  readonly #unzonedLines: number[] = [];
  readonly #seen = new Map<string, number>();

  constructor(table: DelimitedTable, columns: TicketColumns, notices: Notice[]) {
    this.#table = table;
    this.#columns = columns;
    this.#notices = notices;
  }

  read(): Ticket[] {
    const tickets: Ticket[] = [];
    for (const { cells, line } of this.#table.rows) {
      const content = cells.join('\u0000');
      const earlier = this.#seen.get(content);
      if (earlier !== undefined) {
        this.#note(
          'ticket_repeated',
          'look',
          line,
          `is the same as line ${earlier} and was left out; remove it if it is no second load.`,
        );
        continue;
      }
      this.#seen.set(content, line);
      if (cells.slice(this.#table.header.length).some((cell) => cell !== '')) {
        this.#note(
          'ticket_extra_cells',
          'look',
          line,
          'has more cells than the header has columns; a comma inside a number or a name wants double quotes around it.',
        );
      }
      const ticket = this.#ticket(cells, line);
      if (ticket) tickets.push(ticket);
      if (tickets.length > MOST_TICKETS) break;
    }
    this.#noteUnzoned();
    return tickets;
  }

  #ticket(cells: readonly string[], line: number): Ticket | undefined {
    const start = this.#time(cells, 'start', line);
    const end = this.#time(cells, 'end', line);
    const gross_kg = this.#number(cells, 'gross', line);
    const tare_kg = this.#number(cells, 'tare', line);
    const printed_kg = this.#number(cells, 'net', line);
    if (start === undefined || end === undefined) return undefined;
    if (gross_kg === undefined || tare_kg === undefined || printed_kg === undefined) return undefined;
    if (Number.isNaN(start) !== Number.isNaN(end)) {
      this.#note(
        'ticket_time_missing',
        'mend',
        line,
        'has only one of start and end and was left out; write both, or neither if it stands for the whole field.',
      );
      return undefined;
    }
    if (end < start) {
      this.#note(
        'ticket_times_reversed',
        'mend',
        line,
        'ends before it starts and was left out; swap or mend start and end.',
      );
      return undefined;
    }
    const field = this.#text(cells, 'field');
    const machine = this.#text(cells, 'machine');
    const unit = this.#unit(cells, 'net') ?? this.#unit(cells, 'gross');
    return {
      ticket: this.#text(cells, 'ticket') || `line ${line}`,
      ...(field === '' ? {} : { field }),
      ...(machine === '' ? {} : { machine }),
      start_utc_s: start,
      end_utc_s: end,
      gross_kg,
      tare_kg,
      net_kg: Number.isNaN(printed_kg) ? gross_kg - tare_kg : printed_kg,
      ...(unit === undefined ? {} : { written_in: unit }),
      moisture_pct: this.#number(cells, 'moisture', line) ?? Number.NaN,
      bulk_density_kg_m3: this.#number(cells, 'test_weight', line) ?? Number.NaN,
      source: this.#table.source,
      line,
    };
  }

  #text(cells: readonly string[], quantity: TicketQuantity): string {
    for (const { index } of this.#columns.of.get(quantity) ?? [])
      if (cells[index]) return shownText(cells[index], LONGEST_NAME);
    return '';
  }

  /** Unit of the first filled cell of a weight. */
  #unit(cells: readonly string[], quantity: TicketQuantity): WeightUnit | undefined {
    return this.#columns.of.get(quantity)?.find(({ index }) => cells[index])?.unit;
  }

  /** NaN when nothing is written, `undefined` (with a notice) when it is no number. */
  #number(cells: readonly string[], quantity: TicketQuantity, line: number): number | undefined {
    const { decimal } = this.#table;
    for (const { index, name, factor } of this.#columns.of.get(quantity) ?? []) {
      const cell = cells[index] ?? '';
      if (cell === '') continue;
      const plain = decimal === '.' && THOUSANDS.test(cell) ? cell.replaceAll(',', '') : cell;
      const number = numberFromCell(plain, decimal);
      if (!Number.isNaN(number)) return number * factor;
      const weight = quantity === 'gross' || quantity === 'tare' || quantity === 'net';
      const outcome = weight ? 'the ticket was left out' : 'it counts as missing';
      this.#note(
        'ticket_unreadable',
        'mend',
        line,
        `has "${shownText(cell)}" in ${name}, which is no number: ${outcome}; write it as ${decimal === ',' ? '12345,6' : '12345.6'}.`,
      );
      return undefined;
    }
    return Number.NaN;
  }

  /** NaN when nothing is written, `undefined` (with a notice) when it is no time. */
  #time(cells: readonly string[], quantity: 'start' | 'end', line: number): number | undefined {
    const cell = this.#text(cells, quantity);
    if (cell === '') return Number.NaN;
    const written = timeFromIso(cell);
    if (!written) {
      this.#note(
        'ticket_time_unreadable',
        'mend',
        line,
        `has "${shownText(cell)}" in ${quantity}, which is no time, and was left out; write it as 2026-09-14T13:05:00Z.`,
      );
      return undefined;
    }
    if (!written.zoned) this.#unzonedLines.push(line);
    return written.utc_s;
  }

  #noteUnzoned(): void {
    const [line] = this.#unzonedLines;
    if (line === undefined) return;
    const { source } = this.#table;
    const count = this.#unzonedLines.length;
    const text = `${source}: ${count} time(s), the first on line ${line}, do not say their offset from UTC and were read as UTC; write them with Z or an offset such as -05:00.`;
    this.#notices.push({ code: 'time_without_zone', severity: 'look', source, line, count, text });
  }

  #note(code: string, severity: Severity, line: number, what: string): void {
    const { source } = this.#table;
    this.#notices.push({
      code,
      severity,
      source,
      line,
      count: 1,
      text: `${source}, line ${line}: the ticket ${what}`,
    });
  }
}

function unknownColumn(table: DelimitedTable, name: string, near: string | undefined): Notice {
  const hint = near === undefined ? '' : ` Did you mean "${near}"?`;
  const text = `${table.source}: the column "${shownText(name)}" is not known for tickets and was left out.${hint}`;
  return {
    code: 'ticket_column_unknown',
    severity: near ? 'look' : 'info',
    source: table.source,
    line: table.headerLine,
    count: 1,
    text,
  };
}
