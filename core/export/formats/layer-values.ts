/** What the formats ask of a layer beside its rows: rounded numbers, columns by name, the box of all places. */
import { GeographicBox, polygonParts } from '../layers/antimeridian.ts';
import type { ExportLayer, LayerColumn, NumberColumn, PolygonGeometry } from '../layers/layer.ts';

/** Of a degree: a tenth of a millimetre. Binary formats and task data keep more of a place than texts do. */
export const FINE_DEGREE_DIGITS = 9;

/**
 * The double that the decimal text of `number` with `digits` after the point stands for, so that binary formats hold what text
 * formats do, and the last bits of a computation are in none. NaN passes; no −0. Exact for up to 15 digits in all.
 */
export function roundedTo(number: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(number * scale) / scale + 0;
}

/** What a row of a column holds in formats that know types; null where absent. Whole numbers and times are not rounded to whole. */
export function typedValue(column: LayerColumn, row: number): number | string | boolean | null {
  if (column.kind === 'text') return column.words[column.codes[row]] ?? null;
  const number = column.numbers[row];
  if (!Number.isFinite(number)) return null;
  if (column.kind === 'flag') return number !== 0;
  return roundedTo(number, column.digits);
}

/** The column of that name; `undefined` where the layer has none. */
export function columnNamed(layer: ExportLayer, name: string): LayerColumn | undefined {
  return layer.columns.find((column) => column.name === name);
}

/** Throws RangeError where the column of that name holds words. */
export function numbersNamed(layer: ExportLayer, name: string): NumberColumn | undefined {
  const column = columnNamed(layer, name);
  if (column?.kind === 'text') throw new RangeError(`the column "${name}" holds words, not numbers`);
  return column;
}

/** West, south, east, north of all places of layers, rounded; west > east across the 180° meridian; `undefined` for none. */
export function boundsOf(layers: readonly ExportLayer[]): GeographicBox['bounds'] {
  return exactBoundsOf(layers)?.map((angle_deg) => roundedTo(angle_deg, FINE_DEGREE_DIGITS)) as
    | GeographicBox['bounds']
    | undefined;
}

/** The same for formats that round places otherwise: rounded twice, the box may leave a place outside. */
export function exactBoundsOf(layers: readonly ExportLayer[]): GeographicBox['bounds'] {
  const box = new GeographicBox();
  for (const { geometry, rows } of layers) {
    for (let row = 0; row < rows; row++) {
      if (geometry.kind === 'point') box.add(geometry.longitude_deg[row], geometry.latitude_deg[row]);
      else for (const ring of geometry.rings(row)) addRing(box, ring);
    }
  }
  return box.bounds;
}

function addRing(box: GeographicBox, ring: Float64Array): void {
  for (let at = 0; at < ring.length; at += 2) box.add(ring[at], ring[at + 1]);
}

/** The polygons of a row, none across the 180° meridian, positions rounded to `FINE_DEGREE_DIGITS`. */
export function finePolygons(geometry: PolygonGeometry, row: number): readonly (readonly Float64Array[])[] {
  return polygonParts(geometry.rings(row)).map((rings) =>
    rings.map((ring) => ring.map((angle_deg) => roundedTo(angle_deg, FINE_DEGREE_DIGITS))),
  );
}
