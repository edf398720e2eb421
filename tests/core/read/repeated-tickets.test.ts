import { describe, expect, it } from 'vitest';
import { withoutRepeatedTickets } from '../../../core/read/repeated-tickets.ts';
import { gatherTickets } from '../../../core/read/season-inputs.ts';

const HEAD = 'ticket,start,end,net_kg\n';
const ROW = (ticket: number, net = 9000) =>
  `${ticket},2026-10-06T1${ticket}:00:00Z,2026-10-06T1${ticket}:30:00Z,${net}\n`;

describe('tickets in two files', () => {
  it('count once when they say the same, wherever they stand', () => {
    const read = gatherTickets([
      { path: 'tickets/monday.csv', text: `${HEAD}${ROW(1)}${ROW(2)}` },
      { path: 'tickets/tuesday.csv', text: `${HEAD}${ROW(3)}${ROW(2)}${ROW(1)}` },
    ]);
    if (!read.ok) throw new Error(read.error.text);
    expect(read.value.tickets.map(({ ticket, source }) => [ticket, source])).toEqual([
      ['1', 'tickets/monday.csv'],
      ['2', 'tickets/monday.csv'],
      ['3', 'tickets/tuesday.csv'],
    ]);
    expect(read.notices.filter(({ code }) => code === 'ticket_in_two_files')).toEqual([
      {
        code: 'ticket_in_two_files',
        severity: 'info',
        source: 'tickets/tuesday.csv',
        line: 3,
        count: 2,
        text: 'tickets/tuesday.csv, line 3: ticket 2 and 1 more stand in tickets/monday.csv as well and are counted once.',
      },
    ]);
  });

  it('are both used when they differ in anything', () => {
    const read = gatherTickets([
      { path: 'a.csv', text: `${HEAD}${ROW(1)}` },
      { path: 'b.csv', text: `${HEAD}${ROW(1, 9010)}` },
    ]);
    expect(read.ok && read.value.tickets).toHaveLength(2);
  });

  it('nothing from nothing', () => {
    expect(withoutRepeatedTickets([])).toEqual({ tickets: [], notices: [] });
  });
});
