import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { geoParquet } from '../../../../electron/host/export/geoparquet.ts';
import {
  bytesOf,
  FIELD_NAMES,
  NOON_S,
  PROVENANCE,
  pointLayer,
  pointSet,
  polygonLayer,
} from '../../../core/export/formats/layer-fixture.ts';

async function made(sets: readonly LayerSet[]): Promise<{ name: string; bytes: Buffer }[]> {
  const files = await geoParquet.files(sets, PROVENANCE);
  return Promise.all(files.map(async ({ name, pieces }) => ({ name, bytes: await bytesOf(pieces) })));
}

const asBuffer = (bytes: Buffer) => new Uint8Array(bytes).buffer;
const metadataOf = (bytes: Buffer) => {
  const { key_value_metadata, row_groups, schema } = parquetMetadata(asBuffer(bytes));
  const text = (key: string) => key_value_metadata?.find((one) => one.key === key)?.value ?? '';
  return { geo: JSON.parse(text('geo')), about: JSON.parse(text('sheaflight')), row_groups, schema };
};

describe('GeoParquet read back by hyparquet', () => {
  it('has every value, absent ones as null, places of points to a tenth of a millimetre', async () => {
    const layer = pointLayer('home', 60);
    const [{ name, bytes }] = await made([pointSet([layer])]);
    expect(name).toBe('points/crop=corn/field=Home/part-0.parquet');
    const rows = await parquetReadObjects({ file: asBuffer(bytes) });
    expect(rows).toHaveLength(60);
    expect(rows[3]).toMatchObject({
      time: new Date((NOON_S + 3.6) * 1000),
      machine: 'combine <1> & "co"',
      load: '1045',
      pass: 0,
      yield_t_ha: 9.429,
      kept: true,
      geometry: { type: 'Point', coordinates: [-95.4997, 41.250003] },
      bbox: { xmin: -95.4997, ymin: 41.250003, xmax: -95.4997, ymax: 41.250003 },
    });
    expect(rows[6]).toMatchObject({ yield_t_ha: null, pass: null, time: new Date((NOON_S + 7.2) * 1000) });
    expect(rows[2].load).toBeNull();
    expect([rows[10].geometry, rows[10].bbox ?? null]).toEqual([null, null]);
    expect(rows[12].kept).toBe(false);
    for (const column of layer.columns) {
      if (column.kind !== 'real') continue;
      for (const [row, number] of column.numbers.entries()) {
        const found = rows[row][column.name];
        if (Number.isNaN(number)) expect(found).toBeNull();
        else expect(Math.abs(found - number)).toBeLessThanOrEqual(0.5 * 10 ** -column.digits + 1e-12);
      }
    }
    expect(Object.keys(rows[0])).not.toContain('field');
  });

  it('tells of itself as GeoParquet 1.1.0 asks, and carries where it comes from', async () => {
    const [{ bytes }] = await made([pointSet([pointLayer('home', 60)])]);
    const { geo, about } = metadataOf(bytes);
    expect(geo).toEqual({
      version: '1.1.0',
      primary_column: 'geometry',
      columns: {
        geometry: {
          encoding: 'WKB',
          geometry_types: ['Point'],
          edges: 'planar',
          orientation: 'counterclockwise',
          bbox: [-95.5, 41.25, -95.4941, 41.250059],
          covering: {
            bbox: {
              xmin: ['bbox', 'xmin'],
              ymin: ['bbox', 'ymin'],
              xmax: ['bbox', 'xmax'],
              ymax: ['bbox', 'ymax'],
            },
          },
        },
      },
    });
    expect(about).toMatchObject({ ...PROVENANCE, kind: 'points', field: 'Home', crop: 'corn' });
    expect(about.columns.yield_t_ha).toBe('yield_t_ha & what it is');
  });

  it('cuts ground at the 180° meridian; an empty layer is a file without rows and with the same columns', async () => {
    const [across, empty, full] = await made([
      pointSet([polygonLayer('fiji', 20), polygonLayer('home', 0), polygonLayer('home', 5)], 'cells'),
    ]);
    const { geo } = metadataOf(across.bytes);
    expect(geo.columns.geometry.geometry_types).toEqual(['MultiPolygon', 'Polygon']);
    expect(geo.columns.geometry.bbox).toEqual([179.99945, -16.5, -179.99865, -16.4999]);
    const rows = await parquetReadObjects({ file: asBuffer(across.bytes) });
    const kinds = rows.map((row) => row.geometry?.type ?? null);
    expect(kinds.slice(3, 7)).toEqual(['Polygon', 'Polygon', 'MultiPolygon', 'Polygon']);
    expect(kinds[9]).toBeNull();
    expect(empty.name).toBe('cells/crop=corn/field=Home/part-0.parquet');
    expect(full.name).toBe('cells/crop=corn/field=Home/part-1.parquet');
    expect(await parquetReadObjects({ file: asBuffer(empty.bytes) })).toEqual([]);
    expect(metadataOf(empty.bytes).geo.columns.geometry).toMatchObject({ geometry_types: [] });
    expect(metadataOf(empty.bytes).schema).toEqual(metadataOf(full.bytes).schema);
  });

  it('is the same bytes again', async () => {
    const sets = () => [pointSet([pointLayer('home', 300), pointLayer('fiji', 300)])];
    expect(await made(sets())).toEqual(await made(sets()));
  });
});

describe('GeoParquet as a data set for another engine', () => {
  let folder = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'sheaflight-parquet-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  it('DuckDB takes field and crop from the path, and passes over groups by the covering box', async () => {
    const layers = [
      pointLayer('home', 70_000),
      pointLayer('fiji', 500),
      { ...pointLayer('home', 40), field: 'home' },
    ];
    for (const { name, bytes } of await made([pointSet(layers)])) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), bytes);
    }
    const connection = await (await DuckDBInstance.create(':memory:')).connect();
    const query = async (sql: string) => (await connection.runAndReadAll(sql)).getRowObjectsJson();
    const dataSet = `read_parquet('${folder}/points/**/*.parquet', hive_partitioning = true)`;
    const rows = await query(
      `select field, crop, count(*)::int as n, round(avg(yield_t_ha), 6) as mean, max(epoch_ms(time))::varchar as latest
       from ${dataSet} group by all order by n desc`,
    );
    const mean = (layer: (typeof layers)[0]) => {
      const column = layer.columns.find(({ name }) => name === 'yield_t_ha');
      const numbers =
        column && 'numbers' in column ? [...column.numbers].filter((x) => !Number.isNaN(x)) : [];
      return numbers.reduce((sum, x) => sum + x / numbers.length, 0);
    };
    expect(rows.map(({ field, crop, n }) => [field, crop, n])).toEqual([
      ['Home', 'corn', 70_000],
      [FIELD_NAMES.fiji, 'soybean "süß"', 500],
      ['home', 'corn', 40],
    ]);
    for (const [k, layer] of layers.entries()) expect(Number(rows[k].mean)).toBeCloseTo(mean(layer), 3);
    expect(Number(rows[1].latest)).toBe((NOON_S + 499 * 1.2) * 1000);
    const here = await query(
      `select count(*)::int as n from ${dataSet} where field = 'Home' and bbox.xmin between -95.4 and -95.39`,
    );
    expect(here).toEqual([{ n: 91 }]);
    const places = await query(
      `select geometry::varchar as place from ${dataSet} where field = 'Home' order by time limit 11`,
    );
    expect(places[1].place).toBe('POINT (-95.4999 41.250001)');
    expect(places[10].place).toBeNull();
    const groups = await query(
      `select row_group_id as id, row_group_num_rows as n, stats_min_value as low, stats_max_value as high
       from parquet_metadata('${folder}/points/crop=corn/field=Home/part-0.parquet')
       where path_in_schema = 'bbox, xmin' order by id`,
    );
    expect(groups).toHaveLength(2);
    expect(Number(groups[0].high)).toBeLessThan(Number(groups[1].low));
  });

  it('DuckDB sees polygons, cut in two at the 180° meridian', async () => {
    for (const { name, bytes } of await made([pointSet([polygonLayer('fiji', 20)], 'cells')])) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), bytes);
    }
    const connection = await (await DuckDBInstance.create(':memory:')).connect();
    const answer = await connection.runAndReadAll(
      `select split_part(geometry::varchar, ' ', 1) as kind, count(*)::int as n
       from read_parquet('${folder}/cells/**/*.parquet') group by all order by n`,
    );
    expect(answer.getRowObjectsJson()).toEqual([
      { kind: 'MULTIPOLYGON', n: 1 },
      { kind: null, n: 2 },
      { kind: 'POLYGON', n: 17 },
    ]);
  });
});
