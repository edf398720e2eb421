/** Small valid files of every kind that is read: what the fuzzer starts from. All invented or simulated. */
import { scene, simulate } from '../synthetic/index.ts';
import { sentence } from '../synthetic/nmea-sentence.ts';

/** One file of a simulated season, small enough to run the whole chain on it in a third of a second. */
export function smallSeason(): ReadonlyMap<string, Uint8Array> {
  season ??= simulate(
    scene('small')
      .seed(5)
      .field({
        corners: [
          [-30, -45],
          [30, -45],
          [30, 45],
          [-30, 45],
        ],
      })
      .machine({})
      .loads({ load_t: 1.5 }),
  ).files;
  return season;
}

let season: ReadonlyMap<string, Uint8Array> | undefined;

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

/** The file of the season whose path begins so. */
export function seasonFile(start: string): Uint8Array {
  for (const [path, bytes] of smallSeason()) if (path.startsWith(start)) return bytes;
  throw new RangeError(`the small season has no file ${start}…`);
}

/** Lines `from` to `to` of a text. */
function lines(bytes: Uint8Array, from: number, to: number): Uint8Array {
  return bytesOf(`${Buffer.from(bytes).toString('latin1').split('\n').slice(from, to).join('\n')}\n`);
}

export const TICK_WORDS: readonly string[] = [
  '1234567,1\n',
  '1234567,0\n',
  '4294967295,1\n',
  '1,0\n',
  '7,M,14.5\n',
  '8,H,0\n',
  '9,H,1\r\n',
  '10,T,1.5,-2\n',
  `11,${sentence('GPGGA,120000.00,4159.96,N,09330.05,W,4,14,0.7,309.1,M,-32.0,M,,')}\n`,
  `12,${sentence('GNRMC,120000.00,A,4159.96,N,09330.05,W,3.2,92.1,141026,,,R')}\n`,
  `13,${sentence('GPVTG,92.1,T,,M,3.2,N,5.9,K')}\n`,
  `14,${sentence('GPGSA,A,3,01,02,03,,,,,,,,,,1.5,0.9,1.2')}\n`,
  `15,${sentence('GPZDA,120000.00,14,10,2026,00,00')}\n`,
  `16,${sentence('GNGNS,120000.00,4159.96,N,09330.05,W,RD,14,0.7,309.1,-32.0,,')}\n`,
  `17,${sentence('GPGGA,,,,,,0,00,,,M,,M,,')}\n`,
  `18,${sentence('GPRMC,,V,,,,,,,,,,N')}\n`,
  `19,${sentence('PXYZ,1,2,3')}\n`,
  't_us,beam\n',
  '# note\n',
];

/** Tick logs: from the simulator, hand-made with every payload, bare edges. */
export function tickLogs(): readonly Uint8Array[] {
  const simulated = seasonFile('logs/');
  const made = [
    'tick_us,payload\n',
    ...Array.from({ length: 30 }, (_, i) =>
      `${4294000000 + i * 40_000},${(i + 1) % 2}\n`.replace(/^429\d{8}/, wrapped),
    ),
    ...TICK_WORDS,
  ].join('');
  const edges = `t_us,beam\r\n${Array.from({ length: 40 }, (_, i) => `${i * 93_000 + (i % 2) * 7000},${i % 2}\r\n`).join('')}`;
  return [
    lines(simulated, 0, 60),
    lines(simulated, 4000, 4050),
    bytesOf(made),
    bytesOf(edges),
    bytesOf(TICK_WORDS.join('')),
    bytesOf(`\uFEFF# a comment\n\n1,1\n2,0\n3,${sentence('GPVTG,,,,,,,,')}\n5,1`),
  ];
}

/** Counters past 2^32 as a 32-bit counter shows them. */
function wrapped(written: string): string {
  return String(Number(written) % 2 ** 32);
}

export const NMEA_WORDS: readonly string[] = [
  ...TICK_WORDS.filter((word) => word.includes('$')).map((word) => word.slice(word.indexOf('$'))),
  `${sentence('GPRMC,235959.90,A,4159.96,N,09330.05,W,3.2,92.1,311226,,,A')}\r\n`,
  `${sentence('GPRMC,000000.10,A,4159.96,N,09330.05,W,3.2,92.1,010127,,,A')}\r\n`,
  `${sentence('GLGGA,235960.00,8959.9999,S,17959.9999,E,1,99,99.9,-432.1,M,,M,,')}\r\n`,
  `${sentence('GPGSV,3,1,11,03,03,111,00,04,15,270,00')}\r\n`,
];

export function nmeaFiles(): readonly Uint8Array[] {
  const simulated = Buffer.from(seasonFile('logs/')).toString('latin1');
  const bare = [...simulated.matchAll(/\$.*\n/g)].slice(0, 60).map(([line]) => line);
  return [bytesOf(bare.join('')), bytesOf(NMEA_WORDS.join('')), bytesOf(NMEA_WORDS.toReversed().join(''))];
}

export const TABLE_WORDS: readonly string[] = [
  'time',
  'paddles',
  'dark_ms',
  'lat',
  'lon',
  'ticket',
  'net_kg',
  'gross_lb',
  'start',
  'end',
  'moisture_pct',
  '2026-10-06T14:20:00Z',
  '2026-10-06 14:20:00 +02:00',
  '10/06/2026 2:20 PM',
  '14.10.26',
  '45936.5',
  '1791296400',
  '-93.5',
  '42.01',
  'up',
  'wet',
  '12,5',
  '#',
];

export function tallyLogs(): readonly Uint8Array[] {
  const row = (i: number) =>
    `2026-10-06T14:20:${String(i).padStart(2, '0')}Z,${9 + (i % 3)},${(80 + 7 * i).toFixed(2)},17.${i % 10},1,41.999${i},-93.500${i},1.8,${(92 + i) % 360}`;
  const ticked = (i: number) => `${(4294000000 + i * 1_000_000) % 2 ** 32};${9 + (i % 3)};${80 + i},5;17,2`;
  const full = Array.from({ length: 25 }, (_, i) => row(i));
  return [
    bytesOf(`time,paddles,dark_ms,moisture_pct,header,lat,lon,speed_m_s,course_deg\n${full.join('\n')}\n`),
    bytesOf(
      `Time;Paddles;Dark_ms;Moisture_pct\r\n${Array.from({ length: 12 }, (_, i) => ticked(i)).join('\r\n')}`,
    ),
    bytesOf('time,paddles,dark_ms\n2026-10-06 14:20:00,9,80\n2026-10-06 14:20:01,9,80\n\n# end\n'),
  ];
}

export function mappedLogs(): readonly Uint8Array[] {
  const row = (i: number) =>
    `-93.500${i},41.999${i},2026-10-06T14:20:${String(i).padStart(2, '0')}Z,${(6 + i / 10).toFixed(1)},1.8,6.1,17.${i},Home`;
  const comma = (i: number) =>
    `${`-93,500${i}`};${`41,999${i}`};06.10.2026;14:20:${String(i).padStart(2, '0')};${6 + i},5;1`;
  const serial = (i: number) => `"-93.500${i}"\t41.999${i}\t${45936.5 + i / 86_400}\t${6 + i}`;
  return [
    bytesOf(
      `lon,lat,time,flow,speed,swath,moisture,field\n${Array.from({ length: 25 }, (_, i) => row(i)).join('\n')}\n`,
    ),
    bytesOf(
      `lon;lat;date;clock;mass;header\r\n${Array.from({ length: 20 }, (_, i) => comma(i)).join('\r\n')}\r\n`,
    ),
    bytesOf(`lon\tlat\ttime\tflow\n${Array.from({ length: 20 }, (_, i) => serial(i)).join('\n')}\n`),
    bytesOf(Array.from({ length: 10 }, (_, i) => `-93.5 42 ${1791296400 + i} 6.5`).join('\n')),
  ];
}

export function ticketFiles(): readonly Uint8Array[] {
  return [
    seasonFile('tickets/'),
    bytesOf(
      'Ticket;Field;Gross_lb;Tare_lb;Net_lb;Test_weight_lb_bu\n1;Home;54,320;30,120;24,200;56,5\n2;Home;54320;30120;24000;56\n2;Home;1;2;;\n',
    ),
    bytesOf('ticket,field,net_t\n"7, second","Home ""north""",24.2\n"8\n9",Home,3\n'),
    bytesOf('ticket\tstart\tend\tnet_kg\na\t2026-10-06T14:20\t2026-10-06T15:20\t1300\nb\t2026-10-06\t\t5\n'),
  ];
}

export const BOUNDARY_WORDS: readonly string[] = [
  'FeatureCollection',
  'Feature',
  'GeometryCollection',
  'Polygon',
  'MultiPolygon',
  'Point',
  'LineString',
  'coordinates',
  'geometry',
  'geometries',
  'features',
  'properties',
  'type',
  'crs',
];

export function boundaries(): readonly Uint8Array[] {
  const ring = [
    [-93.5, 42],
    [-93.49, 42],
    [-93.49, 42.01],
    [-93.5, 42.01],
    [-93.5, 42],
  ];
  const polygon = { type: 'Polygon', coordinates: [ring, ring.slice(1, 4)] };
  return [
    seasonFile('boundaries/'),
    bytesOf(JSON.stringify(polygon)),
    bytesOf(
      JSON.stringify({
        type: 'FeatureCollection',
        features: [
          { type: 'Feature', properties: { name: 'Home' }, geometry: polygon },
          {
            type: 'Feature',
            properties: null,
            geometry: { type: 'MultiPolygon', coordinates: [[ring], [ring]] },
          },
          { type: 'Feature', properties: {}, geometry: { type: 'Point', coordinates: [-93.5, 42] } },
          {
            type: 'Feature',
            properties: {},
            geometry: {
              type: 'GeometryCollection',
              geometries: [polygon, { type: 'LineString', coordinates: ring }],
            },
          },
        ],
      }),
    ),
  ];
}

export const SHEET_WORDS: readonly string[] = [
  'format',
  'sheaflight-season/1',
  'sheaflight-season/2',
  'name',
  'units',
  'us',
  'machines',
  'id',
  'paddle',
  'pitch_mm',
  'thickness_mm',
  'fields',
  'crop',
  'crops',
  'corn',
  'boundary',
  'logs',
  'files',
  'machine',
  'tickets',
  'mappings',
  'columns',
  'quantity',
  'settings',
  'screening',
  'no_fix',
  'on',
  'lags',
  'sha256',
  '../x.log',
  '/x.log',
  'C:/x.log',
];

const STRIP = [
  [-93.5, 42],
  [-93.499, 42],
  [-93.499, 42.01],
  [-93.5, 42.01],
];

/** Polygons with treatments: names, numbers, gaps, several parts. */
export function treatmentFiles(): readonly Uint8Array[] {
  const ring = [...STRIP, STRIP[0]];
  const feature = (properties: object | null, geometry: object | null) => ({
    type: 'Feature',
    properties,
    geometry,
  });
  const polygon = { type: 'Polygon', coordinates: [ring] };
  const features = [
    feature({ hybrid: 'A', rep: 1, rate: 30.5 }, polygon),
    feature({ hybrid: 'B', rep: 1, rate: 34 }, { type: 'MultiPolygon', coordinates: [[ring], [ring]] }),
    feature({ hybrid: ' ', rep: null }, polygon),
    feature(null, null),
  ];
  return [
    bytesOf(JSON.stringify({ type: 'FeatureCollection', features })),
    bytesOf(JSON.stringify(features[0])),
  ];
}

/** Season sheets: the simulated one, and one with every key there is. */
export function sheets(): readonly Uint8Array[] {
  return [seasonFile('season.json'), bytesOf(JSON.stringify(fullSheet(), null, 2))];
}

function fullSheet() {
  return {
    format: 'sheaflight-season/1',
    name: 'Kestrel Flats 2026',
    units: 'us',
    machines: [
      {
        id: 'c1',
        name: 'combine 1',
        paddle: { pitch_mm: 203.2, width_mm: 260, depth_mm: 150, thickness_mm: 10, count: 61 },
        beam: { above_lower_shaft_mm: 1500, from_back_mm: 75, height_mm: 4 },
        antenna: { ahead_of_cut_m: -3.4, right_of_centre_m: 0.6 },
        header: { width_m: 9.144, rows: 12 },
      },
      { id: 'c2', name: 'combine 2', header: { width_m: 9.144 } },
    ],
    fields: [
      { name: 'Home', crop: 'corn', boundary: 'boundaries/field.geojson', standard_moisture_pct: 15.5 },
      { name: 'Far', crop: 'einkorn', moisture_pct: 14 },
    ],
    crops: [{ name: 'einkorn', bushel_lb: 60, standard_moisture_pct: 14, bulk_density_kg_m3: 750 }],
    logs: [
      { machine: 'c1', files: ['logs/c1-field.log'], field: 'Home', tick_zero_utc: '2026-10-06T14:20:00Z' },
      { machine: 'c2', files: ['logs/flow.csv'], mapping: 'm1' },
    ],
    tickets: ['tickets/tickets.csv'],
    mappings: [
      {
        id: 'm1',
        delimiter: ',',
        decimal: '.',
        has_header: true,
        utc_offset: '-05:00',
        columns: [
          { quantity: 'longitude', column: 'lon' },
          { quantity: 'latitude', column: 2 },
          { quantity: 'time', column: 'time', unit: 'iso' },
          { quantity: 'mass_flow', column: 'flow', unit: 'lb/s' },
        ],
      },
    ],
    comparisons: [
      { name: 'Drawn', field: 'Home', strips: [{ treatment: 'A', replicate: '1', rings: [STRIP] }] },
      {
        name: 'Given',
        field: 'Home',
        file: { path: 'boundaries/strips.geojson', treatment: 'hybrid', replicate: 'rep' },
        end_buffer_m: 5,
        side_buffer_m: 0.5,
        alpha_pct: 10,
        worthwhile_t_ha: 0.3,
      },
      {
        name: 'Timed',
        field: 'Far',
        spans: [{ treatment: 'early', machine: 'c2', replicate: '1', from: '2026-10-06T14:20:00Z' }],
      },
    ],
    settings: {
      signal: { bridge_lit_ms: 2, drop_dark_ms: 1, empty_level: 0.07 },
      lags: [{ field: 'Home', machine: 'c1', transport_s: 12, mixing_s: 2, moisture_s: 4 }],
      unsmear: { on: true, iterations: 3 },
      cut_width: { whole_rows: true, from: 'ground' },
      point_interval_s: 1,
      screening: { slow: { on: true, least_m_s: 0.4 }, ramp: { on: false } },
      calibration: { model: 'auto', loads: [{ ticket: '1041', use: false }] },
      margin: {
        currency: '$',
        prices: [
          {
            crop: 'corn',
            price_per_bu: 4.1,
            sold_at_moisture_pct: 15,
            drying_per_point_t: 2,
            hauling_per_bu: 0.1,
            shrink: { method: 'policy', per_point_pct: 1.2, handling_pct: 0.5 },
          },
        ],
        costs: [{ name: 'seed', per_ac: 110, crop: 'corn', field: 'Home', treatment: 'A' }],
      },
      seasons: { high_pct: 100, unstable_cv_pct: 30, cell_m: 5 },
    },
    files: [
      {
        path: 'logs/c1-field.log',
        sha256: 'a'.repeat(64),
        bytes: 1000,
        imported_utc: '2026-10-07T08:00:00Z',
        source_name: 'c1 field.log',
      },
    ],
  };
}

export function textFiles(): readonly Uint8Array[] {
  const text = 'lon,lat,Größe,„Feld“\n1,2,3,Weide\n';
  return [
    bytesOf(text),
    Buffer.from(text, 'latin1'),
    Buffer.from(`\uFEFF${text}`, 'utf16le'),
    Buffer.from(`\uFEFF${text}`, 'utf16le').swap16(),
    bytesOf(`\uFEFF${text}`),
  ];
}
