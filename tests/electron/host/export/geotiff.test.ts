import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fromArrayBuffer, type GeoTIFFImage } from 'geotiff';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { GEOTIFF } from '../../../../core/export/formats/geotiff.ts';
import { cellLayer } from '../../../../core/export/layers/cell-layer.ts';
import type { ExportLayer } from '../../../../core/export/layers/layer.ts';
import { layerField } from '../../../../core/export/layers/layer-field.ts';
import { localFrame } from '../../../../core/track/local-frame.ts';
import { bytesOf, PROVENANCE } from '../../../core/export/formats/layer-fixture.ts';
import { slope } from '../../../core/export/layers/made-layers.ts';
import { makeResult, SEASON } from '../../../core/export/season-fixture.ts';
import { gdal, NO_GDAL } from './gdal.ts';

/** Three tiles across, two down, and copies of half the size. */
const [COLUMNS, ROWS] = [530, 300];

let folder: string;
let path: string;
let bytes: Buffer;
let layer: ExportLayer;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sheaflight-raster-'));
  layer = cellLayer(layerField(SEASON, makeResult(), 0), slope(COLUMNS, ROWS), 'metric');
  const [{ name, pieces }] = await GEOTIFF.files(
    [{ stem: 'slope', kind: 'cells', layers: [layer] }],
    PROVENANCE,
  );
  bytes = await bytesOf(pieces);
  path = join(folder, name);
  writeFileSync(path, bytes);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** All directories in the order of the file, by the package `geotiff`, which is not ours. */
async function images(): Promise<GeoTIFFImage[]> {
  const file = await fromArrayBuffer(
    bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer,
  );
  const count = await file.getImageCount();
  return Promise.all(Array.from({ length: count }, (_, k) => file.getImage(k)));
}

async function band(image: GeoTIFFImage, sample: number): Promise<Float32Array> {
  const [values] = await image.readRasters({ samples: [sample] });
  return values as Float32Array;
}

function numbers(name: string): Float64Array {
  const column = layer.columns.find((one) => one.name === name);
  if (column === undefined || column.kind === 'text') throw new Error(`no numbers ${name}`);
  return column.numbers;
}

describe('GeoTIFF', () => {
  it('gives yield and standard error of every cell back, and nothing where there is none', async () => {
    const [full] = await images();
    expect([full.getWidth(), full.getHeight(), full.getSamplesPerPixel()]).toEqual([COLUMNS, ROWS, 2]);
    expect(full.getGDALNoData()).toBe(-9999);
    const cells = layer.raster?.cells ?? new Int32Array();
    for (const [sample, name] of ['yield_t_ha', 'yield_se_t_ha'].entries()) {
      const values = await band(full, sample);
      const expected = new Float32Array(COLUMNS * ROWS).fill(-9999);
      numbers(name).forEach((number, row) => {
        const [column, fromSouth] = [cells[row] % COLUMNS, Math.floor(cells[row] / COLUMNS)];
        expected[(ROWS - 1 - fromSouth) * COLUMNS + column] = Number(number.toFixed(3));
      });
      expect(values).toEqual(expected);
      expect(values.filter((value) => value === -9999)).toHaveLength(COLUMNS + 1);
    }
  });

  it('lies where the cells lie', async () => {
    const [full] = await images();
    expect(full.getOrigin().slice(0, 2)).toEqual([-20, 40 + 10 * ROWS]);
    expect(full.getResolution().slice(0, 2)).toEqual([10, -10]);
    const keys = full.getGeoKeys();
    expect(keys).toMatchObject({
      GTModelTypeGeoKey: 1,
      GTRasterTypeGeoKey: 1,
      ProjectedCSTypeGeoKey: 32_767,
      ProjCoordTransGeoKey: 1,
      ProjScaleAtNatOriginGeoKey: 1,
      ProjNatOriginLongGeoKey: layer.raster?.longitude0_deg,
      ProjNatOriginLatGeoKey: layer.raster?.latitude0_deg,
    });
  });

  it('is laid out for reading by ranges: directories first, then tiles, the smallest copy first', async () => {
    const levels = await images();
    expect(levels.map((image) => [image.getWidth(), image.getHeight()])).toEqual([
      [530, 300],
      [265, 150],
      [133, 75],
      [67, 38],
      [34, 19],
    ]);
    const tiles: number[] = [];
    for (const image of levels) {
      expect([image.getTileWidth(), image.getTileHeight()]).toEqual([256, 256]);
      const offsets = (await image.fileDirectory.loadValue('TileOffsets')) as ArrayLike<number>;
      const list = Array.from(offsets);
      expect(list).toEqual(list.toSorted((a, b) => a - b));
      tiles.unshift(...list);
    }
    // 3 × 2, 2 × 1, and one each
    expect(tiles).toHaveLength(6 + 2 + 3);
    expect(tiles).toEqual(tiles.toSorted((a, b) => a - b));
    // first directory behind the note at the head, all of them before the first tile [OGC 21-026]
    const first = bytes.readUInt32LE(4);
    expect(bytes.subarray(8, first).toString()).toMatch(
      /^GDAL_STRUCTURAL_METADATA_SIZE=000140 bytes\nLAYOUT=IFDS_BEFORE_DATA\n/,
    );
    const directories = directoryOffsets(first);
    expect(directories).toHaveLength(levels.length);
    expect(directories).toEqual(directories.toSorted((a, b) => a - b));
    expect(directories.at(-1)).toBeLessThan(tiles[0]);
    expect(bytes.readUInt32LE(tiles[0] - 4)).toBeGreaterThan(0);
  });

  function directoryOffsets(first: number): number[] {
    const found: number[] = [];
    for (let at = first; at !== 0; at = bytes.readUInt32LE(at + 2 + 12 * bytes.readUInt16LE(at)))
      found.push(at);
    return found;
  }

  it('has copies whose pixels are means of what is there', async () => {
    const [full, half] = await images();
    const [fine, coarse] = [await band(full, 0), await band(half, 0)];
    const four = [fine[0], fine[1], fine[COLUMNS], fine[COLUMNS + 1]];
    expect(coarse[0]).toBeCloseTo(four.reduce((sum, value) => sum + value) / 4, 5);
    // the southern edge has a row of pixels without a number under one that has them
    const last = 149 * 265;
    expect(coarse[last]).toBeCloseTo((fine[298 * COLUMNS] + fine[298 * COLUMNS + 1]) / 2, 5);
  });

  it('is a cloud-optimised GeoTIFF to GDAL, with its plane, bands and provenance', ({ skip }) => {
    const text = gdal('gdalinfo', '-json', path);
    if (text === undefined) return skip(NO_GDAL);
    const found = JSON.parse(text);
    expect(found.metadata.IMAGE_STRUCTURE).toMatchObject({ LAYOUT: 'COG', COMPRESSION: 'DEFLATE' });
    expect(found.size).toEqual([COLUMNS, ROWS]);
    expect(found.bands).toMatchObject([
      { description: 'yield_t_ha', noDataValue: -9999, block: [256, 256], type: 'Float32' },
      { description: 'yield_se_t_ha', noDataValue: -9999 },
    ]);
    expect(found.bands[0].overviews).toHaveLength(4);
    expect(JSON.parse(found.metadata[''].provenance)).toMatchObject({ season: PROVENANCE.season });
    expect(found.metadata[''].TIFFTAG_IMAGEDESCRIPTION).toContain('Not a legal-for-trade weight');
    expect(found.coordinateSystem.wkt).toContain('METHOD["Transverse Mercator"');
    // corners as GDAL places them: north-west, south-west …, to a centimetre where this program has them
    const frame = localFrame(layer.raster?.longitude0_deg ?? 0, layer.raster?.latitude0_deg ?? 0);
    const [northWest, southWest] = found.wgs84Extent.coordinates[0];
    const { longitude_deg, latitude_deg } = frame.toGeographic([-20, -20], [40 + 10 * ROWS, 40]);
    [northWest, southWest].forEach(([longitude, latitude]: number[], k: number) => {
      expect(Math.abs(longitude - longitude_deg[k])).toBeLessThan(1e-7);
      expect(Math.abs(latitude - latitude_deg[k])).toBeLessThan(1e-7);
    });
  });

  it('has one file for each field, and none for a field without cells', async () => {
    const small = cellLayer(layerField(SEASON, makeResult(), 1), slope(4, 3), 'us');
    const none = { ...small, rows: 0 };
    const files = await GEOTIFF.files(
      [
        {
          stem: 'season-cells',
          kind: 'cells',
          layers: [small, none, small],
          field_stems: ['season-cells-a', 'season-cells-b', 'season-cells-c'],
        },
      ],
      PROVENANCE,
    );
    expect(files.map(({ name }) => name)).toEqual(['season-cells-a.tif', 'season-cells-c.tif']);
    const again = await GEOTIFF.files([{ stem: 's', kind: 'cells', layers: [small] }], PROVENANCE);
    expect(await bytesOf(again[0].pieces)).toEqual(await bytesOf(files[0].pieces));
    // lupins have no bushel: pounds
    expect((await bytesOf(files[0].pieces)).toString('latin1')).toContain('band 1 yield_lb_ac');
  });
});
