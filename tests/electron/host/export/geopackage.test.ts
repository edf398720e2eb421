import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import initSqlJs, { type SqlValue } from 'sql.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { geoPackage } from '../../../../electron/host/export/geopackage.ts';
import {
  bytesOf,
  FIELD_NAMES,
  NOON_S,
  PROVENANCE,
  pointLayer,
  pointSet,
  polygonLayer,
} from '../../../core/export/formats/layer-fixture.ts';
import { gdal, NO_GDAL } from './gdal.ts';

const SETS: readonly LayerSet[] = [
  pointSet([pointLayer('home', 60), pointLayer('fiji', 30)], 'season-points'),
  pointSet([polygonLayer('home', 20)], 'season-cells'),
  pointSet([polygonLayer('fiji', 20, 'zones'), polygonLayer('home', 0, 'zones')], 'season-zones'),
];

async function made(sets: readonly LayerSet[]): Promise<Buffer> {
  const [file, ...others] = await geoPackage.files(sets, PROVENANCE);
  expect([file.name, others]).toEqual(['season.gpkg', []]);
  return bytesOf(file.pieces);
}

const LATEST = new Date((NOON_S + 59 * 1.2) * 1000).toISOString();

describe('GeoPackage as a database', () => {
  let rows: (sql: string) => SqlValue[][] = () => [];
  let bytes: Buffer = Buffer.alloc(0);
  beforeAll(async () => {
    bytes = await made(SETS);
    const database = new (await initSqlJs()).Database(bytes);
    rows = (sql) => database.exec(sql)[0]?.values ?? [];
  });

  it('is marked as GeoPackage 1.2, whole, and has the tables that must be there', () => {
    // OGC 12-128r14: application id "GPKG" at byte 68, user version at byte 60
    expect(bytes.toString('latin1', 0, 15)).toBe('SQLite format 3');
    expect(bytes.toString('latin1', 68, 72)).toBe('GPKG');
    expect(bytes.readUInt32BE(60)).toBe(10200);
    expect(rows('PRAGMA integrity_check')).toEqual([['ok']]);
    expect(rows('PRAGMA foreign_key_check')).toEqual([]);
    expect(rows('SELECT srs_id FROM gpkg_spatial_ref_sys ORDER BY 1')).toEqual([[-1], [0], [4326]]);
    expect(
      rows(
        'SELECT table_name, data_type, last_change, min_x, min_y, max_x, max_y, srs_id FROM gpkg_contents',
      ),
    ).toEqual([
      ['points', 'features', LATEST, -179.99765, -16.5, 179.99995, 41.250059, 4326].with(
        3,
        expect.any(Number),
      ),
      ['cells', 'features', LATEST, -95.5, 41.25, -95.4981, 41.2501, 4326],
      ['zones', 'features', LATEST, -180, -16.5, 180, -16.4999, 4326],
    ]);
    expect(rows('SELECT table_name, geometry_type_name, srs_id, z, m FROM gpkg_geometry_columns')).toEqual([
      ['points', 'POINT', 4326, 0, 0],
      ['cells', 'POLYGON', 4326, 0, 0],
      ['zones', 'GEOMETRY', 4326, 0, 0],
    ]);
  });

  it('holds every value of every field below each other, absent ones as NULL', () => {
    expect(rows('SELECT field, crop, count(*) FROM points GROUP BY 1, 2 ORDER BY 3')).toEqual([
      [FIELD_NAMES.fiji, 'soybean "süß"', 30],
      ['Home', 'corn', 60],
    ]);
    expect(rows('SELECT * FROM points WHERE fid IN (3, 7)').map((row) => row.slice(2))).toEqual([
      [
        'Home',
        'corn',
        '2026-10-03T12:00:02.400Z',
        'combine <1> & "co"',
        null,
        0,
        9.286,
        8.667,
        17.25,
        1.567,
        9.144,
        1.8,
        1,
      ],
      [
        'Home',
        'corn',
        '2026-10-03T12:00:07.200Z',
        'combine <1> & "co"',
        '1045',
        null,
        null,
        null,
        null,
        null,
        null,
        null,
        null,
      ],
    ]);
    expect(rows('SELECT count(*) FROM points WHERE geom IS NULL')).toEqual([[5 + 2]]);
    expect(rows('SELECT count(*) FROM points WHERE kept = 0')).toEqual([[4 + 2]]);
  });

  it('says what columns mean, and where all of it comes from', () => {
    expect(
      rows(
        "SELECT description FROM gpkg_data_columns WHERE table_name = 'points' AND column_name = 'yield_t_ha'",
      ),
    ).toEqual([['yield_t_ha & what it is']]);
    const [[text]] = rows(
      'SELECT metadata FROM gpkg_metadata JOIN gpkg_metadata_reference ON id = md_file_id',
    );
    expect(JSON.parse(String(text))).toEqual(PROVENANCE);
  });

  it('is the same bytes again, and a file without layers is one without tables of features', async () => {
    expect(bytes.equals(await made(SETS))).toBe(true);
    const empty = new (await initSqlJs()).Database(
      await made([{ stem: 'season-points', kind: 'points', layers: [] }]),
    );
    expect(empty.exec('SELECT count(*) FROM gpkg_contents')[0].values).toEqual([[0]]);
  });
});

describe('GeoPackages of many fields', () => {
  it('are one for each field where files are asked for each, with all of its layers', async () => {
    const files = await geoPackage.files(
      [
        pointSet([pointLayer('home', 3)], 'home-points'),
        pointSet([pointLayer('fiji', 4)], 'ost-points'),
        pointSet([polygonLayer('home', 2)], 'home-cells'),
      ],
      PROVENANCE,
    );
    expect(files.map(({ name }) => name)).toEqual(['home.gpkg', 'ost.gpkg']);
    const database = new (await initSqlJs()).Database(await bytesOf(files[0].pieces));
    const [{ values }] = database.exec('SELECT (SELECT count(*) FROM points), (SELECT count(*) FROM cells)');
    expect(values).toEqual([[3, 2]]);
  });

  it('are refused, with a way out, where memory would not hold them', () => {
    const many = pointSet([{ ...pointLayer('home', 1), rows: 5_000_001 }], 'big-points');
    expect(geoPackage.refusal?.(SETS)).toBeUndefined();
    expect(geoPackage.refusal?.([many])?.text).toMatch(/^big\.gpkg would hold 5000001 features.*GeoParquet/);
  });

  it('hold any name', async () => {
    const names = fc.string({ unit: 'binary', minLength: 1, maxLength: 30 });
    const { Database } = await initSqlJs();
    await fc.assert(
      fc.asyncProperty(names, names, names, async (field, crop, season) => {
        const layer = { ...polygonLayer('home', 1), field, crop };
        const [file] = await geoPackage.files([pointSet([layer], 'x-cells')], { ...PROVENANCE, season });
        const database = new Database(await bytesOf(file.pieces));
        const row = database.prepare('SELECT field, crop, metadata FROM cells, gpkg_metadata');
        row.step();
        const [gotField, gotCrop, metadata] = row.get();
        database.close();
        // texts of SQLite end at NUL for some of its readers, this one among them
        const kept = (name: string) => name.replaceAll('\0', '\ufffd');
        expect([gotField, gotCrop]).toEqual([kept(field), kept(crop)]);
        expect(JSON.parse(String(metadata))).toMatchObject({ season });
      }),
      { seed: 3, numRuns: 40 },
    );
  });
});

describe('GeoPackage as GDAL reads it', () => {
  let folder = '';
  const path = () => join(folder, 'season.gpkg');
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'sheaflight-gpkg-'));
    writeFileSync(path(), await made(SETS));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('opens read-only without a word of warning, finds layers, types, system and metadata', ({ skip }) => {
    const text = gdal('ogrinfo', '-ro', '-so', '-al', path());
    if (text === undefined) return skip(NO_GDAL);
    expect(text).toContain("using driver `GPKG' successful");
    expect(text.match(/Layer name: \w+/g)).toEqual([
      'Layer name: points',
      'Layer name: cells',
      'Layer name: zones',
    ]);
    expect(text.match(/Feature Count: \d+/g)).toEqual([
      'Feature Count: 90',
      'Feature Count: 20',
      'Feature Count: 20',
    ]);
    expect(text).toContain('ID["EPSG",4326]');
    expect(text).toMatch(/time: DateTime/);
    expect(text).toMatch(/kept: Integer\(Boolean\)/);
    expect(text).toMatch(/pass: Integer64/);
    expect(text).toContain('Heron Bottom');
  });

  it('gives every place and number back', ({ skip }) => {
    const text = gdal(
      'ogr2ogr',
      ...['-f', 'GeoJSON', '-lco', 'COORDINATE_PRECISION=9', '/vsistdout/', path(), 'points'],
    );
    if (text === undefined) return skip(NO_GDAL);
    const layers = [pointLayer('home', 60), pointLayer('fiji', 30)];
    const { features } = JSON.parse(text);
    expect(features).toHaveLength(90);
    for (const [layer, from] of [[layers[0], 0] as const, [layers[1], 60] as const]) {
      if (layer.geometry.kind !== 'point') throw new Error('points are points');
      for (let row = 0; row < layer.rows; row++) {
        const { geometry, properties } = features[from + row];
        expect(geometry === null).toBe(Number.isNaN(layer.geometry.longitude_deg[row]));
        if (geometry !== null) {
          expect(geometry.coordinates[0]).toBeCloseTo(layer.geometry.longitude_deg[row], 8);
          expect(geometry.coordinates[1]).toBeCloseTo(layer.geometry.latitude_deg[row], 8);
        }
        for (const column of layer.columns) {
          if (column.kind !== 'real') continue;
          const number = column.numbers[row];
          if (Number.isNaN(number)) expect(properties[column.name]).toBeNull();
          else
            expect(Math.abs(properties[column.name] - number)).toBeLessThanOrEqual(
              0.5 * 10 ** -column.digits + 1e-12,
            );
        }
      }
    }
  });

  it('finds the polygons valid, with their holes, and cut at the 180° meridian', ({ skip }) => {
    const read = (kind: string) =>
      gdal(
        'ogr2ogr',
        ...['-f', 'CSV', '-lco', 'GEOMETRY=AS_WKT', '/vsistdout/', path(), '-dialect', 'SQLITE'],
        ...['-sql', `SELECT geom, ST_IsValid(geom) AS ok FROM ${kind}`],
      );
    const cells = read('cells');
    if (cells === undefined) return skip(NO_GDAL);
    expect(cells.match(/^"POLYGON \(\([^()]+\),\([^()]+\)\)","?1"?$/gm)).toHaveLength(18);
    const zones = read('zones') ?? '';
    expect(zones.match(/^"POLYGON .*","?1"?$/gm)).toHaveLength(17);
    expect(zones.match(/^"MULTIPOLYGON .*","?1"?$/gm)).toHaveLength(1);
  });
});
