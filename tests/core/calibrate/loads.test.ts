import { describe, expect, test } from 'vitest';
import { ALL_MACHINES } from '../../../core/calibrate/load.ts';
import { bulkDensityOfLoads, groupLoads, matchLoads } from '../../../core/calibrate/loads.ts';
import type { BeamRecord, CutField } from '../../../core/calibrate/ticket-claims.ts';
import { findCrop } from '../../../core/grain/find-crop.ts';
import type { Ticket } from '../../../core/read/ticket.ts';
import { madeTicket } from './made-loads.ts';

const EPOCH = 1_790_000_000;
const HOUR = 3600;
const crop = (name: string) => {
  const answer = findCrop({}, name);
  if (!answer.ok) throw new Error(answer.error.text);
  return answer.value;
};

/** How much of the pitch the heaps of every made beam fill. */
const FILL = 0.3;

/** A beam that counts `flow` (m³/s or kg/s) between each start and end, in hours from the epoch, and nothing elsewhere. */
function beam(
  machine: string,
  spells_h: readonly (readonly [number, number])[],
  flow: number,
  basis: 'volume' | 'mass' = 'volume',
): BeamRecord {
  const t_s = Float64Array.from(spells_h.flat(), (h) => h * HOUR);
  const running = new Float64Array(t_s.length);
  for (let i = 1; i < t_s.length; i++) running[i] = running[i - 1] + (i % 2 === 1 ? t_s[i] - t_s[i - 1] : 0);
  return {
    machine,
    machine_name: `combine ${machine.slice(1)}`,
    passage: {
      t_s,
      cumulative: running.map((s) => s * flow),
      basis,
      ...(basis === 'volume' && { fill_weighted: running.map((s) => s * flow * FILL) }),
    },
    running: { t_s, cumulative_s: running },
  };
}

const field = (
  name: string,
  cropName: string,
  spells: Readonly<Record<string, readonly number[]>>,
): CutField => ({
  name,
  crop: crop(cropName),
  spells: Object.entries(spells).map(([machine, bounds_h]) => ({
    machine,
    bounds_s: Float64Array.from(bounds_h, (h) => h * HOUR),
  })),
});

const timed = (ticket: string, from_h: number, to_h: number, net_kg = 10_000, more: Partial<Ticket> = {}) =>
  madeTicket(ticket, net_kg, { start_utc_s: EPOCH + from_h * HOUR, end_utc_s: EPOCH + to_h * HOUR, ...more });

const one = beam(
  'c1',
  [
    [8, 12],
    [13, 17],
  ],
  0.01,
);
const home = field('Home', 'corn', { c1: [8, 12, 13, 15] });
const creek = field('Creek', 'corn', { c1: [15, 17] });
const match = (tickets: readonly Ticket[], records = [one], fields = [home, creek]) =>
  matchLoads({ tickets, records, fields, epoch_utc_s: EPOCH });
const codes = (notices: readonly { code: string }[]) => notices.map((notice) => notice.code);

describe('a ticket with start and end', () => {
  test('weighs the grain that passed in that time, with its own test weight and running time', () => {
    const { loads, notices } = match([
      timed('1', 11, 13.5, 10_000, { bulk_density_kg_m3: 700, moisture_pct: 18 }),
    ]);
    expect(notices).toEqual([]);
    expect(loads).toHaveLength(1);
    expect(loads[0]).toMatchObject({
      ticket: '1',
      machine: 'c1',
      crop: 'corn',
      moisture_pct: 18,
    });
    // the scale's divisions, and two in a thousand
    expect(loads[0].scale_sigma_kg).toBeCloseTo(Math.hypot(10, 20), 9);
    // An hour before the pause and half an hour after: 5400 s × 0.01 m³/s × 700 kg/m³.
    expect(loads[0].x_kg).toBeCloseTo(37_800, 6);
    expect(loads[0].x2_kg).toBeCloseTo(FILL * 37_800, 6);
    expect(loads[0].running_s).toBeCloseTo(5400, 9);
    expect(loads[0].mean_flow_kg_s).toBeCloseTo(10_000 / 5400, 12);
    expect([loads[0].start_s, loads[0].end_s]).toEqual([11 * HOUR, 13.5 * HOUR]);
  });

  test('without test weight the crop’s density is used; a mass log needs none', () => {
    expect(match([timed('1', 8, 9)]).loads[0].x_kg).toBeCloseTo(36 * crop('corn').bulk_density_kg_m3, 6);
    const { loads } = match(
      [timed('1', 8, 9, 10_000, { bulk_density_kg_m3: 700 })],
      [beam('c1', [[8, 12]], 7, 'mass')],
    );
    expect(loads[0].x_kg).toBeCloseTo(25_200, 6);
    expect(loads[0].x2_kg).toBeNaN();
    expect(loads[0].bulk_density_kg_m3).toBeNaN();
  });

  test('several tickets of one window are one load: masses add, density and moisture by their shares', () => {
    const { loads } = match([
      timed('1', 8, 9, 9000, { bulk_density_kg_m3: 600, moisture_pct: 20 }),
      timed('2', 9, 10, 5000),
      timed('3', 8, 9, 3000, { bulk_density_kg_m3: 750, moisture_pct: 16 }),
    ]);
    expect(loads.map((load) => load.ticket)).toEqual(['1 + 3', '2']);
    expect(loads[0]).toMatchObject({ scale_kg: 12_000, moisture_pct: 19 });
    expect(loads[0].scale_sigma_kg).toBeCloseTo(Math.hypot(10 * Math.SQRT2, 24), 9);
    // 9000 kg fill 15 m³, 3000 kg 4 m³.
    expect(loads[0].bulk_density_kg_m3).toBeCloseTo(12_000 / 19, 9);
  });

  test('a row without times that repeats a ticket’s name belongs to that load', () => {
    const { loads } = match([timed('1', 8, 9, 9000), madeTicket('1', 3000), timed('2', 9, 10)]);
    expect(loads.map((load) => load.scale_kg)).toEqual([12_000, 10_000]);
    const elsewhere = match([
      timed('1', 8, 9, 9000, { field: 'Home' }),
      madeTicket('1', 3000, { field: 'Creek' }),
    ]).loads;
    expect(elsewhere.map((load) => load.scale_kg)).toEqual([9000, 3000]);
  });

  test('names no machine: the one that delivered, or all that did', () => {
    const two = beam('c2', [[10, 12]], 0.01);
    const both = [field('Home', 'corn', { c1: [8, 12], c2: [10, 12] })];
    const { loads } = match(
      [timed('1', 8, 9), timed('2', 10, 11), timed('3', 11, 12, 10_000, { machine: 'C2' })],
      [one, two],
      both,
    );
    expect(loads.map((load) => load.machine)).toEqual(['c1', ALL_MACHINES, 'c2']);
    expect(loads[1].x_kg).toBeCloseTo(2 * loads[0].x_kg, 6);
    expect(loads[1].running_s).toBeCloseTo(7200, 9);
    expect(groupLoads(loads).map((group) => [group.machine, group.loads.length])).toEqual([
      ['c1', 1],
      [ALL_MACHINES, 1],
      ['c2', 1],
    ]);
  });

  test('crop by the field that it names, else by where most of its grain was cut', () => {
    const wheat = field('Mill', 'wheat', { c1: [13, 17] });
    const fields = [field('Home', 'corn', { c1: [8, 12] }), wheat];
    const { loads } = match(
      [timed('1', 8, 9), timed('2', 11.5, 14), timed('3', 14, 15, 1e4, { field: 'mill' })],
      [one],
      fields,
    );
    expect(loads.map((load) => load.crop)).toEqual(['corn', 'wheat', 'wheat']);
    const lost = match([timed('1', 8, 9)], [one], [field('A', 'corn', {}), field('B', 'wheat', {})]);
    expect(lost.loads).toEqual([]);
    expect(codes(lost.notices)).toEqual(['ticket_crop_unknown']);
  });
});

describe('a ticket without times', () => {
  test('stands for its whole field; several of them are summed', () => {
    const { loads, notices } = match([
      madeTicket('H1', 100_000, { field: ' home' }),
      madeTicket('C1', 50_000, { field: 'Creek' }),
      madeTicket('H2', 40_000, { field: 'Home' }),
    ]);
    expect(notices).toEqual([]);
    expect(loads.map((load) => [load.ticket, load.scale_kg, load.running_s])).toEqual([
      ['H1 + H2', 140_000, 6 * HOUR],
      ['C1', 50_000, 2 * HOUR],
    ]);
    expect([loads[0].start_s, loads[0].end_s]).toEqual([8 * HOUR, 15 * HOUR]);
  });

  test('of a named machine, for what that machine cut there', () => {
    const two = beam('c2', [[10, 12]], 0.01);
    const fields = [field('Home', 'corn', { c1: [8, 12], c2: [10, 12] })];
    const { loads } = match(
      [
        madeTicket('A', 1e5, { field: 'Home', machine: 'combine 2' }),
        madeTicket('B', 2e5, { field: 'Home' }),
      ],
      [one, two],
      fields,
    );
    expect(loads.map((load) => [load.machine, load.running_s])).toEqual([
      ['c2', 2 * HOUR],
      [ALL_MACHINES, 6 * HOUR],
    ]);
  });

  test('beside loads of that field is doubted', () => {
    const { loads, notices } = match([
      timed('1', 8, 9, 1e4, { field: 'Home' }),
      madeTicket('2', 1e4, { field: 'Home' }),
    ]);
    expect(loads).toHaveLength(2);
    expect(codes(notices)).toEqual(['field_ticket_beside_loads']);
    expect(notices[0].text).toContain('all of field "Home", of which 1 are loads');
  });
});

describe('tickets that do not fit are named', () => {
  test('unknown machine and field with the nearest name, no times and no field', () => {
    const { loads, notices } = match([
      timed('1', 8, 9, 1e4, { machine: 'combine 11' }),
      timed('2', 9, 10, 1e4, { field: 'Crek', line: 3 }),
      madeTicket('3', 1e4),
    ]);
    expect(loads).toEqual([]);
    expect(codes(notices)).toEqual([
      'ticket_machine_unknown',
      'ticket_field_unknown',
      'ticket_without_grain',
    ]);
    expect(notices[0].text).toContain('did you mean "combine 1"?');
    expect(notices[1].text).toMatch(
      /^tickets\/tickets.csv, line 3: ticket 2 names the field "Crek".*did you mean "Creek"\?$/,
    );
  });

  test('windows of one machine that overlap by more than five seconds', () => {
    const nearly = 9 - 4 / HOUR;
    expect(match([timed('1', 8, 9), timed('2', nearly, 10)]).notices).toEqual([]);
    const { notices } = match([timed('2', 8.75, 10), timed('1', 8, 9)]);
    expect(codes(notices)).toEqual(['ticket_windows_overlap']);
    expect(notices[0].text).toContain('ticket 2 starts 15 min before ticket 1 of the same machine ends');
    const two = beam('c2', [[8, 12]], 0.01);
    const both = [timed('1', 8, 9, 1e4, { machine: 'c1' }), timed('2', 8, 9.5, 1e4, { machine: 'c2' })];
    expect(match(both, [one, two]).notices).toEqual([]);
  });

  test('outside the log: how far the nearest data are, and the whole hours that would mend it', () => {
    const { loads, notices } = match([timed('1', 3, 3.5), timed('2', 4, 4.75), timed('3', 5, 6)]);
    expect(loads).toEqual([]);
    expect(codes(notices)).toEqual(['ticket_outside_log', 'ticket_outside_log', 'ticket_outside_log']);
    expect(notices[0].text).toContain('the nearest begin 4 h 30 min later: wrong day or time zone?');
    expect(notices[0].text).toContain('With +5 h added it would fall on running time.');
    const late = match([timed('1', 30, 31)]).notices[0].text;
    expect(late).toContain('the nearest end 13 h earlier');
    expect(late).toContain('With −14 h added');
    expect(match([timed('1', 80, 81)]).notices[0].text).toContain('With −3 days added');
    expect(match([timed('1', 32, 33)], [beam('c1', [[8, 9]], 0.01)]).notices[0].text).toContain(
      '−1 day added',
    );
    expect(match([timed('1', 280, 281)]).notices[0].text).not.toContain('added');
    expect(match([timed('1', 8, 9)], [beam('c1', [], 0)]).notices[0].text).toContain('there are none at all');
  });

  test('a pause of the elevator is outside the log too', () => {
    expect(match([timed('1', 12.1, 12.9)]).notices[0].text).toContain('the nearest end 6 min earlier');
  });

  test('times in another zone although every window meets grain: seen by how scale and beam disagree', () => {
    // Flow doubles every two hours or so, and loads were weighed accordingly; all tickets are three hours early.
    const t_s = Float64Array.from({ length: 200 }, (_, i) => i * 600);
    const rate = (h: number) => 0.01 * (1.5 + Math.sin(1.1 * h));
    const cumulative = new Float64Array(t_s.length);
    for (let i = 1; i < t_s.length; i++) cumulative[i] = cumulative[i - 1] + 600 * rate(t_s[i] / HOUR);
    const record = {
      ...one,
      passage: { t_s, cumulative, basis: 'volume' as const },
      running: { t_s, cumulative_s: t_s },
    };
    const fields = [field('Home', 'corn', { c1: [0, 33] })];
    const tickets = [9, 10, 11, 12, 13, 14, 15].map((h) => {
      const amount = cumulative[(h + 1) * 6] - cumulative[h * 6];
      return timed(`${h}`, h - 3, h - 2, amount * 700, { bulk_density_kg_m3: 700 });
    });
    const { notices } = match(tickets, [record], fields);
    expect(notices.find((notice) => notice.code === 'ticket_times_shifted')?.text).toContain(
      'with +3 h added',
    );
    const right = tickets.map((ticket) => ({
      ...ticket,
      start_utc_s: ticket.start_utc_s + 3 * HOUR,
      end_utc_s: ticket.end_utc_s + 3 * HOUR,
    }));
    expect(match(right, [record], fields).notices).toEqual([]);
  });

  test('a field in which nothing was cut', () => {
    const { notices } = match(
      [madeTicket('1', 1e5, { field: 'Mill' })],
      [one],
      [home, field('Mill', 'corn', {})],
    );
    expect(codes(notices)).toEqual(['field_without_grain']);
  });

  test('test weight in the wrong unit', () => {
    // 56 lb/bu written as 56 kg/hL, 72 kg/hL as 72 lb/bu, and one that nothing explains.
    const { notices } = match([
      timed('1', 8, 9, 1e4, { bulk_density_kg_m3: 560 }),
      timed('2', 9, 10, 1e4, { bulk_density_kg_m3: 72 * 12.871859781 }),
      timed('3', 10, 11, 1e4, { bulk_density_kg_m3: 400 }),
      timed('4', 11, 12, 1e4, { bulk_density_kg_m3: 670 }),
    ]);
    expect(codes(notices)).toEqual(Array(3).fill('implausible_bulk_density'));
    expect(notices[0].text).toContain('56.0 kg/hL, where corn has about 72: it looks like lb/bu');
    expect(notices[1].text).toContain('it looks like kg/hL under a heading that says lb/bu');
    expect(notices[2].text).toContain('check the number');
  });

  test('a load too small for the scale; weightless tickets are passed over', () => {
    const { loads, notices } = match([
      timed('1', 8, 8.01, 500),
      timed('2', 9, 10, Number.NaN),
      timed('3', 9, 10, -5),
    ]);
    expect(loads).toHaveLength(1);
    expect(codes(notices)).toEqual(['small_load']);
    expect(notices[0].text).toContain('weighs less than 1000 kg');
    const us = matchLoads({
      tickets: [timed('1', 8, 8.01, 500)],
      records: [one],
      fields: [home, creek],
      epoch_utc_s: EPOCH,
      units: 'us',
    });
    expect(us.notices[0].text).toContain('weighs less than 2200 lb');
    expect(us.notices[0].text).not.toContain('kg');
  });
});

describe('tickets that name neither times nor a field', () => {
  const nameless = [madeTicket('1', 9000), madeTicket('2', 4000, { line: 3 })];

  test('stand together for the only field of the only machine, and it is said', () => {
    const { loads, notices } = match(nameless, [one], [home]);
    expect(loads.map(({ ticket, scale_kg }) => [ticket, scale_kg])).toEqual([['1 + 2', 13_000]]);
    expect(codes(notices)).toEqual(['ticket_for_only_field']);
    expect(notices[0]).toMatchObject({ severity: 'info', line: 2, count: 2 });
    expect(notices[0].text).toContain('they stand together for all of "Home"');
  });

  test('are left out where there are two fields, or two machines', () => {
    const two = [one, beam('c2', [[8, 12]], 0.01)];
    for (const { loads, notices } of [match(nameless), match(nameless, two, [home])]) {
      expect(loads).toEqual([]);
      expect(codes(notices)).toEqual(['ticket_without_grain', 'ticket_without_grain']);
    }
  });
});

test('volumes are weighed with the density of the loads that calibrate them, else the usual one', () => {
  const { loads } = match([
    timed('1', 8, 9, 9000, { bulk_density_kg_m3: 600 }),
    timed('2', 9, 10, 3000, { bulk_density_kg_m3: 750 }),
  ]);
  expect(bulkDensityOfLoads(loads, 721)).toBeCloseTo(12_000 / 19, 9);
  expect(bulkDensityOfLoads([], 721)).toBe(721);
});
