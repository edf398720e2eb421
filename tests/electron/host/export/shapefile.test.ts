import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FeatureCollection } from 'geojson';
import { read } from 'shapefile';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { LayerSet } from '../../../../core/export/formats/format.ts';
import { SHAPEFILE } from '../../../../core/export/formats/shapefile.ts';
import type { ExportLayer } from '../../../../core/export/layers/layer.ts';
import {
  bytesOf,
  FIELD_NAMES,
  PROVENANCE,
  pointLayer,
  pointSet,
  polygonLayer,
} from '../../../core/export/formats/layer-fixture.ts';
import { fewPoints, madeSets } from '../../../core/export/layers/made-layers.ts';
import { makeResult } from '../../../core/export/season-fixture.ts';
import { gdal, NO_GDAL } from './gdal.ts';

let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-shapes-'));
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function written(sets: readonly LayerSet[]): Promise<void> {
  for (const { name, pieces } of await SHAPEFILE.files(sets, PROVENANCE))
    writeFileSync(join(folder, name), await bytesOf(pieces));
}

/** By the package `shapefile`, which is not ours. */
function readBack(stem: string): Promise<FeatureCollection> {
  return read(join(folder, `${stem}.shp`), join(folder, `${stem}.dbf`), { encoding: 'utf-8' });
}

/** As GDAL reads it. */
function throughGdal(stem: string): FeatureCollection | undefined {
  const text = gdal(
    'ogr2ogr',
    '-f',
    'GeoJSON',
    '-lco',
    'COORDINATE_PRECISION=10',
    '/vsistdout/',
    join(folder, `${stem}.shp`),
  );
  return text === undefined ? undefined : (JSON.parse(text) as FeatureCollection);
}

function expectPoints(found: FeatureCollection, layer: ExportLayer): void {
  if (layer.geometry.kind !== 'point') throw new Error('no points');
  const { longitude_deg, latitude_deg } = layer.geometry;
  expect(found.features).toHaveLength(layer.rows);
  found.features.forEach(({ geometry, properties }, row) => {
    if (row % 11 === 10) expect(geometry).toBeNull();
    else {
      const [longitude, latitude] = geometry.type === 'Point' ? geometry.coordinates : [];
      // a tenth of a millimetre
      expect(Math.abs(longitude - longitude_deg[row])).toBeLessThanOrEqual(0.51e-9);
      expect(Math.abs(latitude - latitude_deg[row])).toBeLessThanOrEqual(0.51e-9);
    }
    if (row % 7 === 6) expect(properties?.YIELD_T_HA).toBeNull();
    else expect(properties?.YIELD_T_HA).toBeCloseTo(9 + (row % 20) / 7, 3);
    expect(properties?.MACHINE).toBe(row % 5 === 4 ? 'Mähdrescher 2' : 'combine <1> & "co"');
    expect(properties?.TIME).toBe(new Date((1_791_028_800 + 1.2 * row) * 1000).toISOString());
  });
}

describe('Shapefiles', () => {
  it('give points back to the package shapefile', async () => {
    const layer = pointLayer('home', 80);
    await written([pointSet([layer], 'home')]);
    const found = await readBack('home');
    expectPoints(found, layer);
    const first = found.features[0].properties;
    expect(first?.date_utc).toEqual(new Date(2026, 9, 3));
    expect(first?.LOAD).toBe('1045');
    expect(first?.KEPT).toBe(1);
    expect(found.bbox?.[0]).toBeCloseTo(-95.5, 9);
  });

  it('give points, dates and words of two fields back to GDAL', async ({ skip }) => {
    const layer = pointLayer('home', 80);
    await written([pointSet([layer], 'gdal-points')]);
    const found = throughGdal('gdal-points');
    if (found === undefined) return skip(NO_GDAL);
    expectPoints(found, layer);
    expect(found.features[0].properties?.date_utc).toBe('2026-10-03');
    const text = gdal('ogrinfo', '-ro', '-so', '-al', join(folder, 'gdal-points.shp'));
    expect(text).toContain('Feature Count: 80');
    expect(text).toMatch(/GEOGCRS\["WGS 84"[\s\S]*ID\["EPSG",4326\]/);
    expect(text).toMatch(/date_utc: Date/);
  });

  it('hold every layer of a season, with the short names that were chosen', async ({ skip }) => {
    const sets = madeSets(fewPoints(makeResult()), 'us', 'all');
    await written(sets);
    for (const { stem, layers } of sets) {
      const found = throughGdal(stem);
      if (found === undefined) return skip(NO_GDAL);
      expect(found.features).toHaveLength(layers.reduce((sum, { rows }) => sum + rows, 0));
      const chosen = layers[0].columns.flatMap(({ kind, short_name }) =>
        kind === 'time' ? ['date_utc', short_name] : [short_name],
      );
      expect(Object.keys(found.features[0].properties ?? {})).toEqual(chosen);
      expect(found.features.at(-1)?.properties?.field).toBe('Upper "Ten"');
    }
  });

  it('give polygons with their holes back, valid, outer rings clockwise, cut at the 180° meridian', async ({
    skip,
  }) => {
    const layer = polygonLayer('fiji', 12);
    await written([pointSet([layer], 'ground')]);
    const read = await readBack('ground');
    const sides = read.features.map(({ geometry }) => geometry?.type ?? null);
    expect(sides.filter((type) => type === 'MultiPolygon').length).toBeGreaterThan(0);
    expect(sides[9]).toBeNull();
    const bytes = readFileSync(join(folder, 'ground.shp'));
    expect(bytes.readInt32BE(24) * 2).toBe(bytes.length);
    // the first ring of the first record: 5 corners from byte 100 + 8 + 44 + 2 rings · 4
    const corner = (k: number) => [bytes.readDoubleLE(160 + 16 * k), bytes.readDoubleLE(168 + 16 * k)];
    const [a, b, c] = [corner(0), corner(1), corner(2)];
    expect((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).toBeLessThan(0);
    const text = gdal(
      'ogrinfo',
      '-ro',
      '-q',
      '-dialect',
      'SQLite',
      '-sql',
      'SELECT min(ST_IsValid(geometry)) AS valid, max(ST_NumInteriorRing(geometry)) AS holes FROM ground WHERE geometry IS NOT NULL',
      join(folder, 'ground.shp'),
    );
    if (text === undefined) return skip(NO_GDAL);
    expect(text).toMatch(/valid \(Integer\) = 1/);
  });

  it('say what to do where they cannot hold so much', () => {
    const many = 9_000_000;
    const nowhere = new Float64Array(many).fill(Number.NaN);
    const words = ['w'.repeat(254)];
    const layer: ExportLayer = {
      ...pointLayer('home', 1),
      rows: many,
      geometry: { kind: 'point', longitude_deg: nowhere, latitude_deg: nowhere },
      columns: [{ kind: 'text', name: 'w', short_name: 'w', about: '', words, codes: new Int32Array() }],
    };
    expect(SHAPEFILE.refusal?.([pointSet([pointLayer('home', 5)])])).toBeUndefined();
    expect(SHAPEFILE.refusal?.([pointSet([layer], 'big')])).toMatchObject({
      code: 'too_large_for_format',
      text: expect.stringMatching(
        /holds 2 GB at most, and big would have 2\.\d GB; write files for each field, or/,
      ),
    });
  });

  it('cut words that are too long at a whole character', async () => {
    const layer = pointLayer('home', 1);
    const words = [`${'ä'.repeat(126)}xö${FIELD_NAMES.fiji}`];
    await written([
      pointSet(
        [
          {
            ...layer,
            columns: [
              { kind: 'text', name: 'w', short_name: 'w', about: '', words, codes: Int32Array.of(0) },
            ],
          },
        ],
        'long',
      ),
    ]);
    const found = await readBack('long');
    expect(found.features[0].properties?.w).toBe(`${'ä'.repeat(126)}x`);
  });
});
