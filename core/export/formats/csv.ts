/**
 * Layers as CSV [RFC 4180]: a header, commas, CRLF, quotes where they are needed, UTF-8. Points have `longitude_deg` and
 * `latitude_deg` first; polygons have their ground last, as well-known text.
 */
import { isoFromUnix } from '../../iso-time.ts';
import { polygonParts } from '../layers/antimeridian.ts';
import type { ExportLayer, LayerColumn, LayerGeometry } from '../layers/layer.ts';
import { fixedJson } from '../number-text.ts';
import { CSV_LINE_END, harmless, quoted } from './csv-text.ts';
import type { ExportFile, ExportFormat, LayerSet } from './format.ts';
import { FORMATS } from './format-list.ts';

/** A table for each set of layers. */
export const CSV: ExportFormat = { kinds: FORMATS.csv.kinds, files };

/** Of a degree: a centimetre for points, a millimetre for corners. */
const DEGREE_DIGITS = { point: 7, polygon: 8 } as const;
const LINES_A_PIECE = 500;

function files(sets: readonly LayerSet[]): ExportFile[] {
  return sets.map(({ stem, layers }) => ({
    name: `${stem}.csv`,
    pieces: { [Symbol.iterator]: () => csvPieces(layers) },
  }));
}

function* csvPieces(layers: readonly ExportLayer[]): Generator<string> {
  if (layers.length > 0) yield header(layers[0]) + CSV_LINE_END;
  for (const { rows, columns, geometry } of layers) {
    const cells = columns.map(cellWriter);
    const line = lineWriter(geometry, (row) => cells.map((cell) => cell(row)).join(','));
    let lines: string[] = [];
    for (let row = 0; row < rows; row++) {
      lines.push(line(row), CSV_LINE_END);
      if (lines.length >= 2 * LINES_A_PIECE) {
        yield lines.join('');
        lines = [];
      }
    }
    yield lines.join('');
  }
}

function header({ columns, geometry }: ExportLayer): string {
  const names = columns.map(({ name }) => name);
  return (geometry.kind === 'point' ? ['longitude_deg', 'latitude_deg', ...names] : [...names, 'WKT']).join(
    ',',
  );
}

function lineWriter(geometry: LayerGeometry, cells: (row: number) => string): (row: number) => string {
  if (geometry.kind === 'polygon') return (row) => `${cells(row)},${quoted(groundText(geometry.rings(row)))}`;
  const { longitude_deg, latitude_deg } = geometry;
  const degrees = (angle_deg: number) => numberText(angle_deg, DEGREE_DIGITS.point);
  return (row) => `${degrees(longitude_deg[row])},${degrees(latitude_deg[row])},${cells(row)}`;
}

function cellWriter(column: LayerColumn): (row: number) => string {
  if (column.kind === 'text') {
    const words = column.words.map((word) => quoted(harmless(word)));
    return (row) => words[column.codes[row]] ?? '';
  }
  const { numbers, digits, kind } = column;
  if (kind === 'time') return (row) => isoFromUnix(numbers[row]) ?? '';
  if (kind === 'flag') return (row) => (Number.isFinite(numbers[row]) ? String(numbers[row] !== 0) : '');
  return (row) => numberText(numbers[row], digits);
}

function numberText(number: number, digits: number): string {
  return Number.isFinite(number) ? fixedJson(number, digits) : '';
}

/** Simple features' well-known text [OGC 06-103r4]; empty for no ground. */
function groundText(rings: readonly Float64Array[]): string {
  const polygons = polygonParts(rings).map((part) => `(${part.map(ringText).join(',')})`);
  if (polygons.length === 0) return '';
  return polygons.length === 1 ? `POLYGON ${polygons[0]}` : `MULTIPOLYGON (${polygons.join(',')})`;
}

function ringText(ring: Float64Array): string {
  const corners: string[] = [];
  for (let at = 0; at < ring.length; at += 2)
    corners.push(
      `${numberText(ring[at], DEGREE_DIGITS.polygon)} ${numberText(ring[at + 1], DEGREE_DIGITS.polygon)}`,
    );
  return `(${corners.join(',')})`;
}
