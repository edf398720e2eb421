import { describe, expect, it } from 'vitest';
import type { Notice } from '../../../core/errors.ts';
import type { Ticket } from '../../../core/read/ticket.ts';
import { readTickets } from '../../../core/read/tickets.ts';

function read(text: string): { tickets: readonly Ticket[]; notices: readonly Notice[] } {
  const result = readTickets(text, 'tickets/t.csv');
  if (!result.ok) throw new Error(result.error.text);
  return { tickets: result.value.tickets, notices: result.notices };
}

function codes(text: string): string[] {
  return read(text).notices.map(({ code, line }) => `${code} ${line}`);
}

describe('readTickets', () => {
  it('reads a whole ticket', () => {
    const { tickets, notices } = read(
      'ticket,field,machine,start,end,gross_kg,tare_kg,net_kg,moisture_pct,test_weight_kg_hl\n' +
        'A-17,Home,c1,2026-09-14T13:05:00Z,2026-09-14T15:20:00+02:00,24000,9000,15000,17.5,72.1\n',
    );
    expect(tickets).toEqual([
      {
        ticket: 'A-17',
        field: 'Home',
        machine: 'c1',
        start_utc_s: Date.UTC(2026, 8, 14, 13, 5) / 1000,
        end_utc_s: Date.UTC(2026, 8, 14, 13, 20) / 1000,
        gross_kg: 24_000,
        tare_kg: 9000,
        net_kg: 15_000,
        written_in: 'kg',
        moisture_pct: 17.5,
        bulk_density_kg_m3: 721,
        source: 'tickets/t.csv',
        line: 2,
      },
    ]);
    expect(notices).toEqual([]);
  });

  // 1 lb = 0.45359237 kg and 1 short ton = 2000 lb, exactly (NIST SP 811, Handbook 44)
  it.each([
    ['net_kg', '15000', 15_000],
    ['NET_LB', '33000', 33_000 * 0.45359237],
    ['Net_t', '15.5', 15_500],
    ['net_ston', '16.5', 16.5 * 907.18474],
    ['net_lb', '"33,000"', 33_000 * 0.45359237],
    ['net_lb', '"33,000.5"', 33_000.5 * 0.45359237],
  ])('takes %s %s', (column, cell, net_kg) => {
    expect(read(`ticket,${column}\n1,${cell}\n`).tickets[0].net_kg).toBeCloseTo(net_kg, 9);
  });

  it('takes test weight in lb/bu', () => {
    // 1 lb/bu = 12.8718597810 kg/m3 (0.45359237 kg / 0.03523907016688 m3, NIST Handbook 44)
    const [ticket] = read('ticket,net_kg,test_weight_lb_bu\n1,15000,56\n').tickets;
    expect(ticket.bulk_density_kg_m3).toBeCloseTo(56 * 12.871859781, 7);
  });

  it('takes gross − tare where no net is printed, also in different units', () => {
    const { tickets } = read('ticket,gross_kg,tare_lb,net_kg\n1,24000,20000,\n2,24000,20000,15000\n');
    expect(tickets[0].net_kg).toBeCloseTo(24_000 - 9071.8474, 9);
    expect(tickets[1].net_kg).toBe(15_000);
  });

  it('takes the filled one of two net columns', () => {
    const { tickets } = read('ticket,net_kg,net_lb\n1,,33000\n2,15000,\n');
    expect(tickets[0].net_kg).toBeCloseTo(14_968.548, 3);
    expect(tickets[1].net_kg).toBe(15_000);
  });

  it('leaves out optional cells: no field, no machine, no times, no moisture', () => {
    const [ticket] = read('ticket,field,machine,start,end,net_kg,moisture_pct\n7,,,,,15000,\n').tickets;
    expect(ticket.field).toBeUndefined();
    expect(ticket.machine).toBeUndefined();
    expect([ticket.start_utc_s, ticket.end_utc_s, ticket.moisture_pct]).toEqual([
      Number.NaN,
      Number.NaN,
      Number.NaN,
    ]);
  });

  it.each([
    ['semicolons and decimal commas', 'ticket;net_t;moisture_pct\n1;15,5;17,25\n'],
    ['tabs', 'ticket\tnet_t\tmoisture_pct\n1\t15.5\t17.25\n'],
    ['CRLF, a mark and blank lines', '\uFEFFticket,net_t,moisture_pct\r\n\r\n1,15.5,17.25\r\n,,\r\n'],
  ])('reads %s', (_, text) => {
    const { tickets } = read(text);
    expect(tickets).toHaveLength(1);
    expect(tickets[0]).toMatchObject({ net_kg: 15_500, moisture_pct: 17.25 });
  });

  it('numbers a ticket without number by its line', () => {
    expect(read('field,net_kg\nHome,15000\n').tickets[0].ticket).toBe('line 2');
  });
});

describe('doubts', () => {
  it('names a net that disagrees with gross − tare by more than 0.1 % and 1 kg', () => {
    const text =
      'ticket,gross_kg,tare_kg,net_kg\n1,24000,9000,15000.9\n2,24000,9000,15014\n3,24000,9000,15016\n';
    const { tickets, notices } = read(text);
    expect(tickets[2].net_kg).toBe(15_016);
    expect(notices).toEqual([
      {
        code: 'ticket_net_disagrees',
        severity: 'look',
        source: 'tickets/t.csv',
        line: 4,
        count: 1,
        text: 'tickets/t.csv, line 4: ticket 3 prints a net of 15016 kg, but gross minus tare is 15000 kg; the net is used: check the paper.',
      },
    ]);
  });

  it.each([
    ['zero', 'ticket,net_kg\n1,0\n', 'ticket_net_not_positive 2'],
    ['negative', 'ticket,gross_kg,tare_kg\n1,9000,24000\n', 'ticket_net_not_positive 2'],
    ['tonnes under a kilogram heading', 'ticket,net_kg\n1,15.5\n', 'ticket_net_small 2'],
    [
      'pounds under a ton heading',
      'ticket,start,end,net_t\n1,2026-09-14T13:05:00Z,2026-09-14T14:05:00Z,33000\n',
      'ticket_net_large 2',
    ],
    ['no weight', 'ticket,gross_kg,tare_kg,net_kg\n1,24000,,\n', 'ticket_without_weight 2'],
    ['a moisture as a fraction', 'ticket,net_kg,moisture_pct\n1,15000,0.175\n', 'ticket_moisture 2'],
    [
      'a test weight in the wrong unit',
      'ticket,net_kg,test_weight_lb_bu\n1,15000,721\n',
      'ticket_test_weight 2',
    ],
    ['a number on two rows', 'ticket,net_kg\n1,15000\n2,15000\n1,14000\n', 'ticket_number_twice 2'],
    ['a column that is not known', 'ticket,net_kg,driver\n1,15000,Jo\n', 'ticket_column_unknown 1'],
  ])('%s', (_, text, code) => {
    expect(codes(text)).toEqual([code]);
  });

  it('does not doubt a whole-field ticket for its weight', () => {
    expect(codes('ticket,field,net_t\n1,Home,950\n')).toEqual([]);
  });

  it('leaves out a row that stands there twice', () => {
    const { tickets, notices } = read('ticket,net_kg\n1,15000\n1,15000\n');
    expect(tickets).toHaveLength(1);
    expect(notices).toEqual([expect.objectContaining({ code: 'ticket_repeated', line: 3 })]);
  });

  it.each([
    ['a weight that is no number', 'ticket,net_kg\n1,15000\n2,fifteen\n', 'ticket_unreadable 3'],
    [
      'a time that is none',
      'ticket,start,end,net_kg\n1,,,15000\n2,13:05,14:05,15000\n',
      'ticket_time_unreadable 3',
    ],
    [
      'half a time span',
      'ticket,start,end,net_kg\n1,,,15000\n2,2026-09-14T13:05:00Z,,15000\n',
      'ticket_time_missing 3',
    ],
    [
      'a reversed time span',
      'ticket,start,end,net_kg\n1,,,15000\n2,2026-09-14T13:05:00Z,2026-09-14T12:05:00Z,15000\n',
      'ticket_times_reversed 3',
    ],
  ])('leaves out a row with %s, rather than let it stand for the whole field', (_, text, code) => {
    const { tickets, notices } = read(text);
    expect(tickets.map(({ ticket }) => ticket)).toEqual(['1']);
    expect(notices.map((one) => `${one.code} ${one.line}`)).toContain(code);
    expect(notices.filter(({ severity }) => severity === 'mend').length).toBeGreaterThan(0);
  });

  it('keeps a ticket whose moisture is no number, as missing', () => {
    const { tickets, notices } = read('ticket,net_kg,moisture_pct\n1,15000,wet\n');
    expect(tickets[0].moisture_pct).toBeNaN();
    expect(notices[0].text).toBe(
      'tickets/t.csv, line 2: the ticket has "wet" in moisture_pct, which is no number: it counts as missing; write it as 12345.6.',
    );
  });

  it('takes times without an offset as UTC and says so once', () => {
    const { tickets, notices } = read('ticket,start,end,net_kg\n1,2026-09-14 13:05,2026-09-14 14:05,15000\n');
    expect(tickets[0].start_utc_s).toBe(Date.UTC(2026, 8, 14, 13, 5) / 1000);
    expect(notices).toEqual([expect.objectContaining({ code: 'time_without_zone', count: 2, line: 2 })]);
  });

  it('names the likely column for one that is mistyped', () => {
    expect(read('ticket,net_kg,moistur_pct\n1,15000,17\n').notices[0]).toMatchObject({
      severity: 'look',
      text: 'tickets/t.csv: the column "moistur_pct" is not known for tickets and was left out. Did you mean "moisture_pct"?',
    });
  });
});

describe('files without tickets', () => {
  it.each([
    ['no weight with a unit', 'ticket,net\n1,15000\n', 'ticket_columns', 'found are "ticket", "net"'],
    ['gross alone', 'ticket,gross_kg\n1,15000\n', 'ticket_columns', 'it needs net_kg'],
    ['no header', '1041,Home,15000\n', 'ticket_columns', 'write the names of the columns above it'],
    ['a header alone', 'ticket,net_kg\n', 'no_ticket', 'holds no ticket'],
    [
      'nothing but times in another form',
      'ticket,start,end,net_kg\n1,10/06/2026 14:20,10/06/2026 15:00,15000\n',
      'no_ticket',
      'line 2: the ticket has "10/06/2026 14:20" in start, which is no time',
    ],
    ['nothing', '', 'empty_file', 'is empty'],
  ])('%s', (_, text, code, words) => {
    const result = readTickets(text, 'tickets/t.csv');
    expect(result.ok ? '' : result.error.code).toBe(code);
    expect(result.ok ? '' : result.error.text).toContain(words);
  });
});

describe('the longest field name that a sheet may have', () => {
  it('is read whole', () => {
    const field = `North ${'x'.repeat(294)}`;
    expect(read(`ticket,field,net_kg\n1,${field},15340\n`).tickets[0].field).toBe(field);
  });
});

describe('a row with more cells than the header has columns', () => {
  it('is used and pointed at: a comma in a number has moved the rest along', () => {
    expect(codes('ticket,net_kg,moisture_pct\n1,15,340,17.6\n')).toContain('ticket_extra_cells 2');
    expect(codes('ticket,net_kg,moisture_pct\n1,15340,17.6,,\n')).toEqual([]);
  });
});
