/** Small valid files that hold other files, or numbers in bytes: gzip, zip, Shapefile, column blocks. All invented. */
import { gzipSync } from 'node:zlib';
import { type Zippable, zipSync } from 'fflate';
import { encodeColumns } from '../../core/column-wire.ts';
import { bytesOf, seasonFile, smallSeason, tickLogs } from './corpus.ts';

export function gzipFiles(): readonly Uint8Array[] {
  const [log, made] = tickLogs();
  return [
    gzipSync(log),
    gzipSync(made, { level: 0 }),
    Buffer.concat([gzipSync(log), gzipSync(made)]),
    gzipSync(gzipSync(log)),
    gzipSync(new Uint8Array(3_000_000)),
  ];
}

type Ring = readonly (readonly [number, number])[];

const HOME: Ring = [
  [-93.5, 42],
  [-93.5, 42.01],
  [-93.49, 42.01],
  [-93.49, 42],
  [-93.5, 42],
];
const GRID: Ring = HOME.map(([x, y]) => [500_000 + 1000 * (x + 93.5), 4_650_000 + 1000 * (y - 42)]);

/** A .shp of polygons, one a record [ESRI Shapefile Technical Description, July 1998]. */
export function shpOf(rings: readonly Ring[]): Uint8Array {
  const records = rings.map(polygonRecord);
  const bytes = Buffer.alloc(100 + records.reduce((sum, { length }) => sum + length, 0));
  bytes.writeInt32BE(9994, 0);
  bytes.writeInt32BE(bytes.length / 2, 24);
  bytes.writeInt32LE(1000, 28);
  bytes.writeInt32LE(5, 32);
  let at = 100;
  for (const [index, record] of records.entries()) {
    record.writeInt32BE(index + 1, 0);
    record.copy(bytes, at);
    at += record.length;
  }
  return bytes;
}

function polygonRecord(ring: Ring): Buffer {
  const record = Buffer.alloc(8 + 48 + 16 * ring.length);
  record.writeInt32BE((record.length - 8) / 2, 4);
  record.writeInt32LE(5, 8);
  const [xs, ys] = [ring.map(([x]) => x), ring.map(([, y]) => y)];
  for (const [i, edge] of [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)].entries())
    record.writeDoubleLE(edge, 12 + 8 * i);
  record.writeInt32LE(1, 44);
  record.writeInt32LE(ring.length, 48);
  for (const [i, [x, y]] of ring.entries()) {
    record.writeDoubleLE(x, 56 + 16 * i);
    record.writeDoubleLE(y, 64 + 16 * i);
  }
  return record;
}

/** A .dbf with one column of text [dBase III, from memory]. */
export function dbfOf(names: readonly string[]): Uint8Array {
  const width = 20;
  const bytes = Buffer.alloc(65 + names.length * (1 + width) + 1, ' ');
  bytes.fill(0, 0, 64);
  bytes.writeUInt8(3, 0);
  bytes.writeUInt32LE(names.length, 4);
  bytes.writeUInt16LE(65, 8);
  bytes.writeUInt16LE(1 + width, 10);
  bytes.write('FIELD', 32);
  bytes.write('C', 43);
  bytes.writeUInt8(width, 48);
  bytes.writeUInt8(0x0d, 64);
  for (const [i, name] of names.entries()) bytes.write(name, 66 + i * (1 + width), width, 'latin1');
  bytes.writeUInt8(0x1a, bytes.length - 1);
  return bytes;
}

const WGS84 =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';
const UTM_15N = `PROJCS["WGS_1984_UTM_Zone_15N",${WGS84},PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`;

export const SHAPE_WORDS: readonly string[] = [
  WGS84,
  UTM_15N,
  'GEOGCS[',
  'UNIT["Foot",0.3048]',
  '../x.shp',
  'PK\u0003\u0004',
];

export function shpFiles(): readonly Uint8Array[] {
  return [shpOf([HOME]), shpOf([HOME, HOME.toReversed()]), shpOf([])];
}

export function dbfFiles(): readonly Uint8Array[] {
  return [dbfOf(['Home']), dbfOf(['Home', 'Far'])];
}

export function prjFiles(): readonly Uint8Array[] {
  return [bytesOf(WGS84), bytesOf(UTM_15N), bytesOf('+proj=utm +zone=15 +datum=WGS84 +units=m')];
}

export function shapeZips(): readonly Uint8Array[] {
  const parts = (rings: readonly Ring[], prj: string): Zippable => ({
    'fields/home.shp': shpOf(rings),
    'fields/home.dbf': dbfOf(rings.map((_, i) => `Field ${i}`)),
    'fields/home.prj': bytesOf(prj),
    'fields/home.shx': new Uint8Array(108),
  });
  return [
    zipSync(parts([HOME], WGS84)),
    zipSync(parts([GRID, GRID], UTM_15N)),
    zipSync({ 'home.shp': [shpOf([HOME]), { level: 0 }] }),
    zipSync({ 'readme.txt': bytesOf('nothing here') }),
  ];
}

export const ZIP_WORDS: readonly string[] = [
  '../../../season.json',
  '..\\x',
  '/etc/x',
  'C:/x.log',
  'season.json',
  'SEASON.JSON',
  'logs/',
  'logs/../../x',
  'PK\u0001\u0002',
  'PK\u0005\u0006',
  'PK\u0006\u0006',
];

/** Seasons as `pack` makes them, but small. */
export function seasonZips(): readonly Uint8Array[] {
  const [log] = tickLogs();
  const files: Zippable = {
    'kestrel/season.json': seasonFile('season.json'),
    'kestrel/logs/c1-field.log': log,
    'kestrel/tickets/tickets.csv': seasonFile('tickets/'),
    'kestrel/boundaries/field.geojson': seasonFile('boundaries/'),
  };
  const escaping: Zippable = { ...files, '../../evil.log': log };
  const flat = Object.fromEntries([...smallSeason()].filter(([path]) => !path.startsWith('logs/')));
  return [zipSync(files), zipSync(flat), zipSync(escaping), zipSync(files, { level: 0 })];
}

export function columnBlocks(): readonly Uint8Array[] {
  return [
    encodeColumns({
      about: { field: 'Home', revision: 3 },
      rows: 5,
      columns: new Map<string, Float64Array | Float32Array | Int32Array | Uint8Array>([
        ['t_s', Float64Array.of(1, 2, 3, Number.NaN, 5)],
        ['east_m', Float32Array.of(1, 2, 3, 4, 5)],
        ['pass', Int32Array.of(-1, 0, 1, 2, 3)],
        ['kept', Uint8Array.of(0, 1, 1, 0, 1)],
      ]),
    }),
    encodeColumns({ about: {}, rows: 0, columns: new Map() }),
  ];
}
