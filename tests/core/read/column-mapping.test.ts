import { describe, expect, it } from 'vitest';
import { readMappedLog } from '../../../core/read/column-mapping.ts';
import type { FlowLogReading } from '../../../core/read/logger-run.ts';
import type { ColumnMappingSheet, MappedColumn } from '../../../core/season.ts';
import { damageCounts } from './log-text.ts';

const BASE: readonly MappedColumn[] = [
  { quantity: 'longitude', column: 'lon' },
  { quantity: 'latitude', column: 'lat' },
  { quantity: 'time', column: 'time', unit: 'unix_s' },
  { quantity: 'mass_flow', column: 'flow', unit: 'lb/s' },
];

function mapping(
  columns: readonly MappedColumn[],
  more: Partial<ColumnMappingSheet> = {},
): ColumnMappingSheet {
  return { id: 'per second', columns, ...more };
}

function read(text: string, sheet: ColumnMappingSheet): FlowLogReading {
  const result = readMappedLog(text, 'logs/a.csv', sheet);
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

function errorOf(text: string, sheet: ColumnMappingSheet): { code: string; text: string; line?: number } {
  const result = readMappedLog(text, 'logs/a.csv', sheet);
  if (result.ok) throw new Error('it was read');
  return result.error;
}

describe('a log that carries a flow', () => {
  it('comes in SI, optional columns NaN', () => {
    const { rows, lines, damage } = read(
      'lon,lat,time,flow\n-93.5,42.0,1000,10\n-93.4,42.1,1001,20\n',
      mapping(BASE),
    );
    expect(rows.source).toBe('logs/a.csv');
    expect(lines).toBe(3);
    expect(damage).toEqual([]);
    expect(Array.from(rows.utc_s)).toEqual([1000, 1001]);
    expect(Array.from(rows.longitude_deg)).toEqual([-93.5, -93.4]);
    // 1 lb = 0.45359237 kg exactly (NIST SP 811)
    expect(rows.mass_flow_kg_s[0]).toBeCloseTo(4.5359237, 14);
    expect(rows.mass_flow_kg_s[1]).toBeCloseTo(9.0718474, 14);
    expect(Array.from(rows.interval_s)).toEqual([1, 1]);
    for (const column of [
      rows.volume_flow_m3_s,
      rows.distance_m,
      rows.speed_m_s,
      rows.swath_m,
      rows.up,
      rows.quality,
    ]) {
      expect(Array.from(column)).toEqual([Number.NaN, Number.NaN]);
    }
    expect(rows.field).toBeUndefined();
  });

  it.each([
    ['mass_flow', 'kg/s', 'mass_flow_kg_s', 1],
    ['mass_flow', 'kg/h', 'mass_flow_kg_s', 1 / 3600],
    ['mass_flow', 't/h', 'mass_flow_kg_s', 1000 / 3600],
    ['mass_flow', 'lbs/sec', 'mass_flow_kg_s', 0.45359237],
    ['mass_flow', 'lb/min', 'mass_flow_kg_s', 0.45359237 / 60],
    ['volume_flow', 'L/s', 'volume_flow_m3_s', 1e-3],
    ['volume_flow', 'm3/s', 'volume_flow_m3_s', 1],
    ['volume_flow', 'ft3/s', 'volume_flow_m3_s', 0.3048 ** 3],
    ['distance', 'in', 'distance_m', 0.0254],
    ['distance', 'ft', 'distance_m', 0.3048],
    ['distance', undefined, 'distance_m', 1],
    ['swath', 'cm', 'swath_m', 0.01],
    ['swath', 'mm', 'swath_m', 0.001],
    ['speed', 'km/h', 'speed_m_s', 1 / 3.6],
    ['speed', 'mph', 'speed_m_s', 0.44704],
    ['speed', 'kn', 'speed_m_s', 1852 / 3600],
    ['speed', 'm/s', 'speed_m_s', 1],
    ['heading', 'deg', 'heading_deg', 1],
    ['heading', 'rad', 'heading_deg', 180 / Math.PI],
    ['moisture', 'pct', 'moisture_pct', 1],
    ['moisture', '%', 'moisture_pct', 1],
    ['moisture', 'fraction', 'moisture_pct', 100],
    ['altitude', 'ft', 'altitude_m', 0.3048],
    ['interval', 'ms', 'interval_s', 0.001],
    ['fix_quality', undefined, 'quality', 1],
  ] as const)('%s in %s', (quantity, unit, column, factor) => {
    const columns: MappedColumn[] = [
      ...BASE.filter((one) => one.quantity !== 'mass_flow'),
      { quantity: 'mass', column: 'kg' },
      { quantity, column: 'x', unit },
    ];
    const withFlow =
      quantity === 'mass_flow' || quantity === 'volume_flow'
        ? columns.filter((one) => one.quantity !== 'mass')
        : columns;
    const { rows } = read('lon,lat,time,kg,x\n-93.5,42.0,1000,3,2\n', mapping(withFlow));
    expect(rows[column][0]).toBeCloseTo(2 * factor, 12);
  });

  it('makes a flow of a mass per record, over mapped intervals or the times between', () => {
    const columns = [
      ...BASE.filter((one) => one.quantity !== 'mass_flow'),
      { quantity: 'mass', column: 'kg' },
    ] as const;
    const text = 'lon,lat,time,kg,s\n-93,42,1000,6,3\n-93,42,1002,6,3\n-93,42,1004,8,0\n';
    expect(Array.from(read(text, mapping(columns)).rows.mass_flow_kg_s)).toEqual([3, 3, 4]);
    const mapped = mapping([...columns, { quantity: 'interval', column: 's' }]);
    expect(Array.from(read(text, mapped).rows.mass_flow_kg_s)).toEqual([2, 2, Number.NaN]);
  });

  it('takes the distance from speed × interval where no column has it', () => {
    const columns = [...BASE, { quantity: 'speed', column: 'v', unit: 'km/h' }] as const;
    const { rows } = read('lon,lat,time,flow,v\n-93,42,1000,6,3.6\n-93,42,1002,6,7.2\n', mapping(columns));
    expect(Array.from(rows.distance_m)).toEqual([expect.closeTo(2, 12), expect.closeTo(4, 12)]);
  });

  it('keeps a volume flow only where no mass is mapped', () => {
    const columns = [...BASE, { quantity: 'volume_flow', column: 'v', unit: 'L/s' }] as const;
    const { rows } = read('lon,lat,time,flow,v\n-93,42,1000,10,5\n', mapping(columns));
    expect(rows.volume_flow_m3_s[0]).toBeNaN();
    expect(rows.mass_flow_kg_s[0]).toBeCloseTo(4.5359237, 12);
  });

  it('keeps rows in file order, backward steps of time included and counted', () => {
    const { rows, damage } = read(
      'lon,lat,time,flow\n-93,42,1000,1\n-93,42,1003,2\n-93,42,990,3\n-93,42,993,4\n-93,42,5000,5\n-93,42,5003,6\n',
      mapping(BASE),
    );
    expect(Array.from(rows.utc_s)).toEqual([1000, 1003, 990, 993, 5000, 5003]);
    expect(damage).toEqual([{ kind: 'out_of_order', count: 1, first_line: 4 }]);
    // the first row, the backward step and the pause stand for the usual step
    expect(Array.from(rows.interval_s)).toEqual([3, 3, 3, 3, 3, 3]);
  });

  it('shares a second between the rows that carry it', () => {
    const { rows } = read(
      `lon,lat,time,flow\n${[10, 11, 11, 11, 11, 12, 12, 13].map((t) => `-93,42,${t},1`).join('\n')}\n`,
      mapping(BASE),
    );
    expect(Array.from(rows.interval_s)).toEqual([1, 0.25, 0.25, 0.25, 0.25, 0.5, 0.5, 1]);
  });

  it('counts rows without time, cells that are no numbers and positions off the globe', () => {
    const { rows, damage } = read(
      'lon,lat,time,flow\n-93,42,1000,1\n-93,42,,1\n-93,42,1001,wet\n-93,95,1002,1\n0,0,1003,1\n,,1004,1\n-93\n',
      mapping(BASE),
    );
    expect(damageCounts({ damage })).toEqual({ unreadable_line: 2, bad_fix: 3, bad_number: 1 });
    expect(Array.from(rows.latitude_deg)).toEqual([42, 42, Number.NaN, Number.NaN, Number.NaN]);
    expect(rows.mass_flow_kg_s[1]).toBeNaN();
  });

  it('finds columns by name without regard to capitals, or by number', () => {
    const columns: MappedColumn[] = [
      { quantity: 'longitude', column: ' LON ' },
      { quantity: 'latitude', column: 2 },
      { quantity: 'time', column: 'Time', unit: 'unix_s' },
      { quantity: 'mass_flow', column: 4 },
    ];
    expect(read('lon,lat,time,flow\n-93,42,1000,1\n', mapping(columns)).rows.latitude_deg[0]).toBe(42);
    const numbered = [1, 2, 3, 4].map((column, i) => ({ ...BASE[i], column }));
    expect(read('-93,42,1000,1\n', mapping(numbered, { has_header: false })).rows.utc_s[0]).toBe(1000);
  });

  it('reads semicolons and decimal commas', () => {
    const { rows } = read('lon;lat;time;flow\n-93,5;42,25;1000;1,5\n', mapping(BASE));
    expect([rows.longitude_deg[0], rows.latitude_deg[0]]).toEqual([-93.5, 42.25]);
  });

  it('reads the header state in words and both ways round, and the field of each row', () => {
    const columns = (unit?: string): MappedColumn[] => [
      ...BASE,
      { quantity: 'header_state', column: 'h', unit },
      { quantity: 'field', column: 'f' },
    ];
    const text =
      'lon,lat,time,flow,h,f\n-93,42,1,1,0,Home\n-93,42,2,1,1,Home\n-93,42,3,1,Up,Creek\n-93,42,4,1,down,\n-93,42,5,1,?,\n';
    expect(Array.from(read(text, mapping(columns())).rows.up)).toEqual([1, 0, 1, 0, Number.NaN]);
    expect(Array.from(read(text, mapping(columns('1_up'))).rows.up)).toEqual([0, 1, 1, 0, Number.NaN]);
    expect(read(text, mapping(columns())).rows.field).toEqual(['Home', 'Home', 'Creek', '', '']);
  });

  it('turns headings into 0..360', () => {
    const columns: MappedColumn[] = [...BASE, { quantity: 'heading', column: 'h' }];
    const { rows } = read('lon,lat,time,flow,h\n-93,42,1,1,-90\n-93,42,2,1,370\n', mapping(columns));
    expect(Array.from(rows.heading_deg)).toEqual([270, 10]);
  });
});

describe('times', () => {
  const moment = Date.UTC(2026, 8, 14, 13, 5, 30) / 1000;

  it.each([
    ['iso', '2026-09-14T13:05:30Z', undefined, 0],
    ['iso', '2026-09-14 15:05:30', '+02:00', 0],
    ['iso', '2026-09-14T13:05:30Z', '+02:00', 0],
    ['unix_s', String(moment), '+02:00', 0],
    ['unix_ms', String(moment * 1000), undefined, 0],
    ['mdy', '9/14/2026 8:05:30 AM', '-05:00', 0],
    ['dmy', '14.09.2026 13:05:30', undefined, 0],
    // spreadsheet serial of 2026-09-14 is 46279 (days since 1899-12-30); five decimals are 0.86 s apart
    ['days_1899_12_30', '46279.545486', undefined, 0.05],
  ] as const)('as %s: %s, offset %s', (unit, cell, utc_offset, tolerance_s) => {
    const columns = BASE.map((one) => (one.quantity === 'time' ? { ...one, unit } : one));
    const { rows } = read(`lon,lat,time,flow\n-93,42,${cell},1\n`, mapping(columns, { utc_offset }));
    expect(Math.abs(rows.utc_s[0] - moment)).toBeLessThanOrEqual(tolerance_s);
  });

  it.each([
    ['iso', '2026-09-14', 'hms', '15:05:30'],
    ['mdy', '09/14/26', 'hms', '3:05:30 PM'],
    ['dmy', '140926', 'hms', '150530'],
    ['ymd', '20260914', 's', '54330'],
    ['ymd', '20260914', 'ms', '54330000'],
  ])('from a date (%s) and a clock time (%s) in two columns', (dateUnit, date, clockUnit, clock) => {
    const columns: MappedColumn[] = [
      ...BASE.filter((one) => one.quantity !== 'time'),
      { quantity: 'date', column: 'd', unit: dateUnit },
      { quantity: 'clock_time', column: 'c', unit: clockUnit },
    ];
    const { rows } = read(
      `lon,lat,d,c,flow\n-93,42,${date},${clock},1\n`,
      mapping(columns, { utc_offset: '+02:00' }),
    );
    expect(rows.utc_s[0]).toBe(moment);
  });
});

describe('mappings that do not fit', () => {
  const text = 'lon,lat,time,Flow rate\n-93,42,1000,1\n';

  it('names a column that is not there, what is there, and what was likely meant', () => {
    const error = errorOf(
      text,
      mapping(BASE.map((one) => (one.quantity === 'mass_flow' ? { ...one, column: 'Flow_rate' } : one))),
    );
    expect(error).toEqual({
      code: 'mapping_column_missing',
      source: 'logs/a.csv',
      line: 1,
      text: 'logs/a.csv has no column "Flow_rate", in which the column mapping "per second" looks for mass_flow; it has "lon", "lat", "time", "Flow rate". Did you mean "Flow rate"?',
    });
    expect(errorOf(text, mapping([{ quantity: 'longitude', column: 9 }])).text).toContain('column number 9');
  });

  it.each([
    [
      'an unknown unit',
      { quantity: 'mass_flow', column: 'Flow rate', unit: 'lb/d' },
      'mapping_unit_unknown',
      'known are kg/s',
    ],
    [
      'bushels per hour',
      { quantity: 'mass_flow', column: 'Flow rate', unit: 'bu/h' },
      'mapping_unit_refused',
      'a bushel is a different weight',
    ],
    [
      'a yield',
      { quantity: 'mass_flow', column: 'Flow rate', unit: 't/ha' },
      'mapping_unit_refused',
      'divided by a cut width',
    ],
    [
      'an unknown way to write time',
      { quantity: 'time', column: 'time', unit: 'gps' },
      'mapping_unit_unknown',
      'unix_s',
    ],
  ] as const)('refuses %s', (_, column, code, words) => {
    const error = errorOf(text, mapping([column]));
    expect(error.code).toBe(code);
    expect(error.text).toContain(words);
    expect(error.text).toContain(`(column "${column.column}")`);
  });

  it.each([
    [['longitude'], 'longitude'],
    [['latitude'], 'latitude'],
    [['time'], 'time (or date and clock_time)'],
    [['mass_flow'], 'mass_flow (or volume_flow, or mass)'],
    [['longitude', 'mass_flow'], 'longitude and mass_flow'],
  ])('says that %s is missing', (left, words) => {
    const error = errorOf(
      'lon,lat,time,flow\n-93,42,1000,1\n',
      mapping(BASE.filter((one) => !left.includes(one.quantity))),
    );
    expect(error.code).toBe('mapping_incomplete');
    expect(error.text).toContain(`no column for ${words}`);
    expect(error.text).toContain('"lon", "lat", "time", "flow"');
  });

  it('refuses a quantity named twice, an offset that is none, an empty file', () => {
    const flow = 'lon,lat,time,flow\n-93,42,1000,1\n';
    expect(errorOf(flow, mapping([...BASE, BASE[0]])).code).toBe('mapping_column_repeated');
    expect(errorOf(flow, mapping(BASE, { utc_offset: 'CET' })).code).toBe('mapping_offset');
    expect(errorOf('', mapping(BASE)).code).toBe('empty_file');
  });

  it('says what stands in the time column when no row can be read', () => {
    const error = errorOf('lon,lat,time,flow\n-93,42,14/09/2026,1\n', mapping(BASE));
    expect(error.code).toBe('no_readable_row');
    expect(error.text).toContain('"14/09/2026"');
  });
});
