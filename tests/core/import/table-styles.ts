/** Tables of invented styles: headings made up from plain words, none of them a program's own. */
import { isoFromUnix } from '../../../core/iso-time.ts';
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
import { type MadeRow, madeRows, tableText } from './made-flow-log.ts';

/** A cell rounded to so many digits. */
export const fixed = (digits: number, of: (row: MadeRow) => number) => (row: MadeRow) =>
  Number(of(row).toFixed(digits));
export const lon = fixed(7, (row) => row.longitude_deg);
export const lat = fixed(7, (row) => row.latitude_deg);
export const moist = fixed(2, (row) => row.moisture_pct);
export const iso = (row: MadeRow) => (isoFromUnix(row.utc_s) ?? '').replace('.000', '');
const clock = (row: MadeRow) => iso(row).slice(11, 19);
/** 10/5/2026 4:20:00 PM */
export const american = (row: MadeRow) => {
  const [year, month, day] = iso(row).slice(0, 10).split('-').map(Number);
  const hour = Number(clock(row).slice(0, 2));
  const half = hour < 12 ? 'AM' : 'PM';
  return `${month}/${day}/${year} ${((hour + 11) % 12) + 1}${clock(row).slice(2)} ${half}`;
};

export interface Style {
  readonly text: string;
  readonly rows: readonly MadeRow[];
  /** What must be mapped, and to which unit. */
  readonly units: Readonly<Partial<Record<MappedQuantity, string>>>;
}

export const rows = madeRows();
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

export const STYLES: Readonly<Record<string, Style>> = {
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
