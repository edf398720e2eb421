/**
 * Surfaces as cloud-optimised GeoTIFF [OGC 21-026; OGC 19-008r4 GeoTIFF 1.1]: a file for each field, a band of 32-bit yields and
 * one of their standard errors, in the field's own plane (a transverse Mercator of scale 1 about its origin), so that the pixels
 * are the cells as they were computed and nothing is resampled.
 */
import type { ExportLayer, NumberColumn } from '../layers/layer.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from './format.ts';
import { FORMATS } from './format-list.ts';
import { geoTags } from './geotiff-keys.ts';
import { type Raster, rasterLevels } from './geotiff-raster.ts';
import { packedTiles, type TiffTag, tiffPieces } from './geotiff-tiff.ts';
import { provenanceJson } from './provenance-text.ts';

/** An image for each field that has a surface. */
export const GEOTIFF: ExportFormat = { kinds: FORMATS.geotiff.kinds, files };

/** What stands in cells without a number; no yield is below zero. */
const NO_DATA = -9999;

function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  return sets.flatMap(({ stem, layers, field_stems }) =>
    layers.flatMap((layer, place): ExportFile[] => {
      if (layer.raster === undefined || layer.rows === 0) return [];
      const alone = layers.length === 1 ? stem : (field_stems?.[place] ?? `${stem}-${place + 1}`);
      const pieces = { [Symbol.iterator]: () => imagePieces(layer, provenance) };
      return [{ name: `${alone}.tif`, pieces }];
    }),
  );
}

function imagePieces(layer: ExportLayer, provenance: Provenance): Generator<Uint8Array> {
  const bands = bandsOf(layer);
  const { raster } = layer;
  if (raster === undefined) throw new RangeError('only cells of a grid are an image');
  const full = rasterOf(layer, bands);
  const levels = rasterLevels(full, NO_DATA).map((level) => packedTiles(level));
  const tags: TiffTag[] = [
    { tag: 270, kind: 'ascii', text: describe(layer, bands) },
    { tag: 305, kind: 'ascii', text: provenance.generated_by },
    ...geoTags(raster),
    { tag: 42112, kind: 'ascii', text: metadata(layer, bands, provenance) },
  ];
  return tiffPieces(levels, tags, String(NO_DATA));
}

/** The first way in which yields are told that the crop has, and its standard error where there is one. */
function bandsOf({ columns }: ExportLayer): NumberColumn[] {
  const real = columns.filter(
    (column): column is NumberColumn => column.kind === 'real' && column.numbers.some(Number.isFinite),
  );
  const amount = real.find(({ name }) => name.startsWith('yield_') && !name.startsWith('yield_se_'));
  if (amount === undefined) throw new RangeError('a surface without a yield was to be exported');
  const error = real.find(({ name }) => name === amount.name.replace('yield_', 'yield_se_'));
  return error === undefined ? [amount] : [amount, error];
}

/** Rows of the grid run from the south, those of an image from the north. */
function rasterOf({ raster }: ExportLayer, bands: readonly NumberColumn[]): Raster {
  if (raster === undefined) throw new RangeError('only cells of a grid are an image');
  const { grid, cells } = raster;
  const { columns: width, rows: height } = grid;
  const planes = bands.map(({ numbers, digits }) => {
    const plane = new Float32Array(width * height).fill(NO_DATA);
    cells.forEach((cell, row) => {
      const column = cell % width;
      const fromNorth = height - 1 - (cell - column) / width;
      if (Number.isFinite(numbers[row]))
        plane[fromNorth * width + column] = Number(numbers[row].toFixed(digits));
    });
    return plane;
  });
  return { width, height, planes };
}

function describe({ field, crop }: ExportLayer, bands: readonly NumberColumn[]): string {
  const names = bands.map(({ name }, k) => `band ${k + 1} ${name}`).join(', ');
  return `${field}, ${crop}: ${names}. Estimate only. Not a legal-for-trade weight.`;
}

/** The document that raster libraries show as metadata: of the file, and of each band. */
function metadata(layer: ExportLayer, bands: readonly NumberColumn[], provenance: Provenance): string {
  const items = [
    item('field', layer.field),
    item('crop', layer.crop),
    item('remarks', provenance.remarks.join(' ')),
    item('provenance', provenanceJson(provenance)),
    ...bands.flatMap(({ name, about }, k) => [
      `<Item name="DESCRIPTION" sample="${k}" role="description">${escaped(name)}</Item>`,
      `<Item name="about" sample="${k}">${escaped(about)}</Item>`,
    ]),
  ];
  return `<GDALMetadata>${items.join('')}</GDALMetadata>`;
}

function item(name: string, text: string): string {
  return `<Item name="${name}">${escaped(text)}</Item>`;
}

/** Markup is escaped twice, as readers of this document undo it twice; signs that XML does not know are replaced. */
function escaped(text: string): string {
  return onceEscaped(onceEscaped(text)).replaceAll(
    /[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu,
    '\ufffd',
  );
}

function onceEscaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
