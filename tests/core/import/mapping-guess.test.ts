/**
 * Tables of invented styles, read through the guessed mapping alone: what comes out must be what was driven. Headings are
 * made up from plain words; none is a program's own.
 */
import { describe, expect, it } from 'vitest';
import { TAKEN } from '../../../core/import/column-guess.ts';
import { guessMapping, type MappingGuess } from '../../../core/import/mapping-guess.ts';
import { isoFromUnix } from '../../../core/iso-time.ts';
import { readMappedLog } from '../../../core/read/column-mapping.ts';
import type { FlowLogColumns } from '../../../core/read/logger-run.ts';
import type { MappedQuantity } from '../../../core/season.ts';
import {
  ftFromM,
  inFromM,
  kmhFromMPerS,
  knotsFromMPerS,
  lbFromKg,
  mphFromMPerS,
  radFromDeg,
} from '../../../core/units.ts';
import { referenceText } from '../../reference/reference-data.ts';
import { type MadeRow, madeRows, tableText } from './made-flow-log.ts';

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

const fixed = (digits: number, of: (row: MadeRow) => number) => (row: MadeRow) =>
  Number(of(row).toFixed(digits));
const lon = fixed(7, (row) => row.longitude_deg);
const lat = fixed(7, (row) => row.latitude_deg);
const moist = fixed(2, (row) => row.moisture_pct);
const iso = (row: MadeRow) => (isoFromUnix(row.utc_s) ?? '').replace('.000', '');
const clock = (row: MadeRow) => iso(row).slice(11, 19);
/** 10/5/2026 4:20:00 PM */
const american = (row: MadeRow) => {
  const [year, month, day] = iso(row).slice(0, 10).split('-').map(Number);
  const hour = Number(clock(row).slice(0, 2));
  const half = hour < 12 ? 'AM' : 'PM';
  return `${month}/${day}/${year} ${((hour + 11) % 12) + 1}${clock(row).slice(2)} ${half}`;
};

interface Style {
  readonly text: string;
  readonly rows: readonly MadeRow[];
  /** What must be mapped, and to which unit. */
  readonly units: Readonly<Partial<Record<MappedQuantity, string>>>;
}

const rows = madeRows();
const threes = madeRows({ step_s: 3, rows_a_pass: 60 });
const german = madeRows({
  longitude_deg: 11.3,
  latitude_deg: 52.2,
  start_utc: '2026-07-29T11:00:00Z',
  swath_m: 7.5,
});
const southern = madeRows({
  longitude_deg: -61.2,
  latitude_deg: -33.9,
  start_utc: '2026-03-09T14:00:00Z',
  swath_m: 10.7,
});

const STYLES: Readonly<Record<string, Style>> = {
  'inches, pounds and seconds in brackets': {
    rows: threes,
    text: tableText(threes, [
      ['Longitude (deg)', lon],
      ['Latitude (deg)', lat],
      ['Grain Flow (lb/s)', fixed(2, (row) => lbFromKg(row.flow_kg_s))],
      ['GPS Time (s)', (row) => row.utc_s],
      ['Duration (s)', () => 3],
      ['Distance (in)', fixed(0, (row) => inFromM(row.distance_m))],
      ['Swath Width (in)', fixed(0, (row) => inFromM(row.swath_m))],
      ['Moisture (%)', moist],
      ['Elevation (ft)', fixed(1, (row) => ftFromM(row.altitude_m))],
    ]),
    units: { mass_flow: 'lb/s', time: 'unix_s', interval: 's', distance: 'in', swath: 'in', altitude: 'ft' },
  },
  'German words, semicolons, decimal commas, day first': {
    rows: german,
    text: tableText(
      german,
      [
        ['Datum', (row) => iso(row).slice(0, 10).split('-').reverse().join('.')],
        ['Uhrzeit UTC', clock],
        ['Breitengrad', lat],
        ['Längengrad', lon],
        ['Durchsatz [t/h]', fixed(3, (row) => row.flow_kg_s * 3.6)],
        ['Geschwindigkeit [km/h]', fixed(3, (row) => kmhFromMPerS(row.speed_m_s))],
        ['Arbeitsbreite [m]', fixed(2, (row) => row.swath_m)],
        ['Kornfeuchte [%]', moist],
      ],
      { delimiter: ';', decimal: ',' },
    ),
    units: { date: 'dmy', clock_time: 'hms', mass_flow: 't/h', speed: 'km/h', swath: 'm', moisture: 'pct' },
  },
  'small letters with underscores, SI': {
    rows,
    text: tableText(rows, [
      ['time_utc', iso],
      ['lat', lat],
      ['lon', lon],
      ['flow_kg_s', fixed(3, (row) => row.flow_kg_s)],
      ['speed_m_s', fixed(3, (row) => row.speed_m_s)],
      ['heading_deg', fixed(1, (row) => row.heading_deg)],
      ['swath_m', fixed(3, (row) => row.swath_m)],
      ['moisture_pct', moist],
    ]),
    units: { time: 'iso', mass_flow: 'kg/s', speed: 'm/s', heading: 'deg', swath: 'm' },
  },
  'joined words, month first, half days, moisture as a fraction': {
    rows,
    text: tableText(rows, [
      ['RecordNumber', (_, i) => i + 1],
      ['DateTimeUtc', american],
      ['GpsLongitude', lon],
      ['GpsLatitude', lat],
      ['GroundSpeedMph', fixed(3, (row) => mphFromMPerS(row.speed_m_s))],
      ['CutWidthFt', fixed(2, (row) => ftFromM(row.swath_m))],
      ['GrainFlowLbs', fixed(3, (row) => lbFromKg(row.flow_kg_s))],
      ['GrainMoisture', fixed(4, (row) => row.moisture_pct / 100)],
    ]),
    units: { time: 'mdy', speed: 'mph', swath: 'ft', mass_flow: 'lb/s', moisture: 'fraction' },
  },
  'tabs and a line of units under the headings': {
    rows,
    text: tableText(
      rows,
      [
        ['Time', iso],
        ['Long', lon],
        ['Lat', lat],
        ['Mass flow', fixed(0, (row) => row.flow_kg_s * 3600)],
        ['Dist', fixed(3, (row) => ftFromM(row.distance_m))],
        ['Width', fixed(1, (row) => ftFromM(row.swath_m))],
        ['Moist', moist],
      ],
      { delimiter: '\t' },
    ).replace('\n', '\nUTC\tdeg\tdeg\tkg/h\tft\tft\t%\n'),
    units: { time: 'iso', mass_flow: 'kg/h', distance: 'ft', swath: 'ft' },
  },
  'no units at all': {
    rows,
    text: tableText(rows, [
      ['Record', (_, i) => i],
      ['X', lon],
      ['Y', lat],
      ['Timestamp', (row) => row.utc_s * 1000],
      ['Flow', fixed(2, (row) => lbFromKg(row.flow_kg_s))],
      ['Distance', fixed(2, (row) => ftFromM(row.distance_m))],
      ['Swath', fixed(1, (row) => ftFromM(row.swath_m))],
      ['Moisture', moist],
      [
        'Yield',
        fixed(2, (row) =>
          row.swath_m > 0 ? (row.flow_kg_s * 1000) / (row.swath_m * row.speed_m_s) / 100 : 0,
        ),
      ],
    ]),
    units: { time: 'unix_ms', mass_flow: 'lb/s', distance: 'ft', swath: 'ft', moisture: 'pct' },
  },
  'litres of grain, knots, radians, spreadsheet days': {
    rows,
    text: tableText(rows, [
      ['GPS day', (row) => Number((row.utc_s / 86_400 + 25_569).toFixed(6))],
      ['longitude', lon],
      ['latitude', lat],
      ['Volume flow (L/s)', fixed(3, (row) => row.flow_kg_s / 0.72)],
      ['Speed (kn)', fixed(4, (row) => knotsFromMPerS(row.speed_m_s))],
      ['Course (rad)', fixed(4, (row) => radFromDeg(row.heading_deg))],
      ['Header width (m)', fixed(2, (row) => row.swath_m)],
      ['Grain moisture (%)', moist],
    ]),
    units: { time: 'days_1899_12_30', volume_flow: 'L/s', speed: 'kn', heading: 'rad', swath: 'm' },
  },
  'grain of each row, header switch, quality of the fix, name of the field': {
    rows,
    text: tableText(rows, [
      ['field name', () => 'Owl Bottom'],
      ['time', (row) => iso(row).replace('Z', '+00:00')],
      ['lon', lon],
      ['lat', lat],
      ['fix quality', () => 4],
      ['header', (row) => row.up],
      ['grain mass (kg)', fixed(3, (row) => row.flow_kg_s)],
      ['distance (m)', fixed(3, (row) => row.distance_m)],
      ['cut width (m)', fixed(3, (row) => row.swath_m)],
      ['moisture (%)', moist],
    ]),
    units: { mass: 'kg', header_state: '1_up', fix_quality: 'code', field: 'name', distance: 'm' },
  },
  'Spanish words, comma in quotes for the decimal': {
    rows: southern,
    text: tableText(southern, [
      ['Fecha UTC', (row) => iso(row).slice(0, 10)],
      ['Hora', clock],
      ['Longitud', (row) => `"${lon(row).toFixed(7).replace('.', ',')}"`],
      ['Latitud', (row) => `"${lat(row).toFixed(7).replace('.', ',')}"`],
      ['Caudal (kg/s)', (row) => `"${row.flow_kg_s.toFixed(4).replace('.', ',')}"`],
      ['Velocidad (km/h)', (row) => `"${kmhFromMPerS(row.speed_m_s).toFixed(4).replace('.', ',')}"`],
      ['Ancho (m)', (row) => `"${row.swath_m.toFixed(2).replace('.', ',')}"`],
      ['Humedad (%)', (row) => `"${moist(row).toFixed(2).replace('.', ',')}"`],
    ]),
    units: { date: 'ymd', clock_time: 'hms', mass_flow: 'kg/s', speed: 'km/h', swath: 'm', moisture: 'pct' },
  },
  'packed dates and clocks': {
    rows,
    text: tableText(rows, [
      ['Date', (row) => iso(row).slice(0, 10).replaceAll('-', '')],
      ['Time (GMT)', (row) => clock(row).replaceAll(':', '')],
      ['Latitude', lat],
      ['Longitude', lon],
      ['Throughput kg/s', fixed(3, (row) => row.flow_kg_s)],
      ['Speed', fixed(3, (row) => kmhFromMPerS(row.speed_m_s))],
      ['Width cm', fixed(0, (row) => row.swath_m * 100)],
      ['H2O %', moist],
    ]),
    units: { date: 'ymd', clock_time: 'hms', mass_flow: 'kg/s', speed: 'km/h', swath: 'cm', moisture: 'pct' },
  },
  'day first, told by the days that follow each other; tonnes an hour': {
    rows: southern,
    text: tableText(
      southern.map((row, i) => (i < 600 ? row : { ...row, utc_s: row.utc_s + 86_400 })),
      [
        ['Zeit', (row) => `${iso(row).slice(0, 10).split('-').reverse().join('/')} ${clock(row)}`],
        ['Lon', lon],
        ['Lat', lat],
        ['Flow rate (t/h)', fixed(3, (row) => row.flow_kg_s * 3.6)],
        ['Ground speed (km/h)', fixed(3, (row) => kmhFromMPerS(row.speed_m_s))],
        ['Working width (m)', fixed(2, (row) => row.swath_m)],
        ['Moisture', moist],
      ],
      { delimiter: ';' },
    ),
    units: { time: 'dmy', mass_flow: 't/h', speed: 'km/h', swath: 'm' },
  },
};

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
