/**
 * Tables of invented styles, read through the guessed mapping alone: what comes out must be what was driven. Headings are
 * made up from plain words; none is a program's own.
 */
import { describe, expect, it } from 'vitest';
import { TAKEN } from '../../../core/import/column-guess.ts';
import { guessMapping, type MappingGuess } from '../../../core/import/mapping-guess.ts';
import { readMappedLog } from '../../../core/read/column-mapping.ts';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import type { MappedQuantity } from '../../../core/season.ts';
import { kmhFromMPerS, lbFromKg } from '../../../core/units.ts';
import { referenceText } from '../../reference/reference-data.ts';
import { madeRows, tableText } from './made-flow-log.ts';
import { american, fixed, iso, lat, lon, moist, rows, STYLES } from './table-styles.ts';

function guess(text: string): MappingGuess {
  const result = guessMapping(text, 'log.csv');
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

function readThrough(text: string, found: MappingGuess): FlowLogColumns {
  const result = readMappedLog(text, 'log.csv', { id: 'guessed', ...found.mapping });
  if (!result.ok) throw new Error(result.error.text);
  return result.value.rows;
}

function sum(column: Float64Array): number {
  return column.reduce((total, number) => total + (Number.isNaN(number) ? 0 : number), 0);
}

describe('guessMapping: tables of many styles', () => {
  it.each(Object.entries(STYLES))('%s', (_, { text, rows: truth, units }) => {
    const found = guess(text);
    expect(found.lacking).toEqual([]);
    expect(found.confidence).toBeGreaterThanOrEqual(TAKEN);
    const mapped = Object.fromEntries(found.taken.map(({ quantity, unit }) => [quantity, unit]));
    expect(mapped).toMatchObject(units);
    const columns = readThrough(text, found);
    // days of a table are its own; seconds within the day are what was driven
    const start_s = truth[0].utc_s;
    expect(columns.utc_s[0] - start_s).toBeCloseTo(0, 0);
    expect(columns.longitude_deg[500]).toBeCloseTo(truth[500].longitude_deg, 6);
    expect(columns.latitude_deg[500]).toBeCloseTo(truth[500].latitude_deg, 6);
    const step_s = truth[1].utc_s - truth[0].utc_s;
    const driven_m = truth.reduce((total, row) => total + row.distance_m, 0);
    const grain_kg = truth.reduce((total, row) => total + row.flow_kg_s * step_s, 0);
    const volume = columns.mass_flow_kg_s.every(Number.isNaN);
    const flow_kg_s = volume ? columns.volume_flow_m3_s.map((flow) => flow * 720) : columns.mass_flow_kg_s;
    expect(sum(columns.distance_m) / driven_m).toBeCloseTo(1, 2);
    expect(sum(flow_kg_s.map((flow, i) => flow * columns.interval_s[i])) / grain_kg).toBeCloseTo(1, 2);
    expect(Math.max(...columns.swath_m)).toBeCloseTo(Math.max(...truth.map((row) => row.swath_m)), 1);
    expect(columns.moisture_pct[400]).toBeCloseTo(truth[400].moisture_pct, 1);
  });
});

describe('guessMapping: without headings', () => {
  const text = tableText(
    rows,
    [
      ['', (row) => row.utc_s],
      ['', lon],
      ['', lat],
      ['', fixed(3, (row) => row.flow_kg_s)],
      ['', fixed(3, (row) => row.distance_m)],
      ['', fixed(2, (row) => row.swath_m)],
      ['', moist],
    ],
    { header: false },
  );

  it('position and time show in the numbers; the flow is offered, not taken for sure', () => {
    const found = guess(text);
    expect(found.hasHeader).toBe(false);
    expect(found.mapping.has_header).toBe(false);
    const of = (quantity: MappedQuantity) => found.taken.find((one) => one.quantity === quantity);
    expect(of('longitude')).toMatchObject({ column: 2, confidence: 0.8 });
    expect(of('latitude')?.column).toBe(3);
    expect(of('time')).toMatchObject({ column: 1, unit: 'unix_s' });
    expect(of('mass_flow')?.column).toBe(4);
    expect(found.confidence).toBeLessThan(TAKEN);
    expect(found.firstRows).toHaveLength(5);
  });
});

describe('guessMapping: what cannot be guessed is said', () => {
  it('a yield without a flow', () => {
    const found = guess(
      tableText(rows, [
        ['time', iso],
        ['lon', lon],
        ['lat', lat],
        ['Yield (bu/ac)', fixed(1, (row) => 150 + row.flow_kg_s)],
        ['Moisture', moist],
      ]),
    );
    expect(found.confidence).toBe(0);
    expect(found.lacking.join()).toContain('"Yield (bu/ac)"');
    expect(found.lacking.join()).toContain('export the flow');
  });

  it('positions in a projected grid', () => {
    const found = guess(
      tableText(rows, [
        ['Easting', (row) => Number((500_000 + (row.longitude_deg + 96.4) * 83_000).toFixed(2))],
        ['Northing', (row) => Number((4_617_000 + (row.latitude_deg - 41.7) * 111_000).toFixed(2))],
        ['time', iso],
        ['Flow (kg/s)', fixed(2, (row) => row.flow_kg_s)],
      ]),
    );
    expect(found.confidence).toBe(0);
    expect(found.lacking.join()).toContain('projected grid');
  });

  it('a flow in bushels an hour is no flow', () => {
    const found = guess(
      tableText(rows, [
        ['time', iso],
        ['lon', lon],
        ['lat', lat],
        ['Flow (bu/h)', fixed(1, (row) => row.flow_kg_s * 140)],
      ]),
    );
    expect(found.confidence).toBe(0);
    expect(found.lacking.join()).toContain('flow');
  });

  it('the order of day and month where only the custom of the place tells it', () => {
    const text = tableText(rows.slice(0, 500), [
      ['time', american],
      ['lon', lon],
      ['lat', lat],
      ['flow (kg/s)', fixed(2, (row) => row.flow_kg_s)],
    ]);
    const found = guess(text);
    expect(found.taken.find(({ quantity }) => quantity === 'time')?.unit).toBe('mdy');
    expect(found.doubts.join()).toContain('"10/5/2026" was read with the month first');
  });

  it('local times are known by the night', () => {
    const local = madeRows({ start_utc: '2026-10-05T09:20:00Z' });
    const text = tableText(local, [
      ['time', (row) => iso(row).replace('Z', '')],
      ['lon', lon],
      ['lat', lat],
      ['flow (kg/s)', fixed(2, (row) => row.flow_kg_s)],
    ]);
    const found = guess(text);
    // 96.4° west: the sixth hour west of Greenwich
    expect(found.mapping.utc_offset).toBe('-06:00');
    expect(found.doubts.join()).toContain('before dawn');
  });

  it('a heading whose unit the numbers contradict is not believed', () => {
    const text = tableText(rows, [
      ['time', iso],
      ['lon', lon],
      ['lat', lat],
      ['flow (kg/s)', fixed(2, (row) => row.flow_kg_s)],
      ['speed (mph)', fixed(3, (row) => kmhFromMPerS(row.speed_m_s))],
    ]);
    const found = guess(text);
    const speed = [...found.taken, ...found.offered].find(({ quantity }) => quantity === 'speed');
    expect(speed).toMatchObject({ unit: 'km/h' });
    expect(speed?.reason).toContain('its heading says mph');
  });
});

describe('guessMapping: two real logs', () => {
  it('corn, Minnesota: the columns as they are known to be', ({ skip }) => {
    const text = referenceText('data/gartner_corn_raw.csv');
    if (!text) return skip('skipped: reference data not present');
    const found = guess(text);
    expect(
      Object.fromEntries(found.taken.map(({ quantity, column, unit }) => [quantity, [column, unit]])),
    ).toEqual({
      longitude: ['Longitude', undefined],
      latitude: ['Latitude', undefined],
      time: ['Time', 'unix_s'],
      mass_flow: ['Flow', 'lb/s'],
      interval: ['Cycles', 's'],
      distance: ['Distance', 'in'],
      swath: ['Swath', 'in'],
      moisture: ['Moisture', 'pct'],
      altitude: ['Altitude', 'ft'],
      field: ['Field', 'name'],
    });
    expect(found.confidence).toBeGreaterThanOrEqual(TAKEN);
    expect(found.crops).toEqual(['Corn']);
    // 513,551 lb wet: sum of flow × interval over the file (values/g_gartner.json)
    const columns = readThrough(text, found);
    expect(lbFromKg(sum(columns.mass_flow_kg_s.map((flow, i) => flow * columns.interval_s[i])))).toBeCloseTo(
      513_551,
      -1,
    );
  });

  it('winter wheat, Montana: the columns as they are known to be', ({ skip }) => {
    const text = referenceText('data/msu_sec1west_2014.csv');
    if (!text) return skip('skipped: reference data not present');
    const found = guess(text);
    expect(
      Object.fromEntries(found.taken.map(({ quantity, column, unit }) => [quantity, [column, unit]])),
    ).toEqual({
      longitude: ['lon', undefined],
      latitude: ['lat', undefined],
      time: ['gps_tim_days', 'days_1899_12_30'],
      mass_flow: ['flw_lbs', 'lb/s'],
      distance: ['dist_in', 'in'],
      swath: ['swth_in', 'in'],
      heading: ['hdng_deg', 'deg'],
      moisture: ['moist_pct', 'pct'],
      altitude: ['z_m', 'm'],
    });
    expect(found.taken.find(({ quantity }) => quantity === 'mass_flow')?.reason).toContain('60 lb');
  });
});
