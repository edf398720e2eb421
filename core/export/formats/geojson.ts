/** Layers as RFC 7946 GeoJSON, made piece by piece, because a season's text is larger than a string should be. */
import { isoFromUnix } from '../../iso-time.ts';
import { doubleArea, type PolygonRings, polygonParts } from '../layers/antimeridian.ts';
import type { ExportLayer, LayerColumn, LayerGeometry } from '../layers/layer.ts';
import { fixedJson } from '../number-text.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from './format.ts';
import { FORMATS } from './format-list.ts';
import { exactBoundsOf } from './layer-values.ts';
import { provenanceJson } from './provenance-text.ts';

/** A FeatureCollection for each set of layers, with its provenance inside. */
export const GEOJSON: ExportFormat = { kinds: FORMATS.geojson.kinds, files };

/** Of a degree: a centimetre for points, and a millimetre for corners, so that a narrow swath keeps its area to a per cent. */
const DEGREE_DIGITS = { point: 7, polygon: 8 } as const;
const LINES_A_PIECE = 500;

type Bounds = readonly [west: number, south: number, east: number, north: number] | undefined;

/** What stands before the features. */
export interface CollectionHead {
  readonly bounds: Bounds;
  /** JSON text of a foreign member [RFC 7946 §6.1]. */
  readonly provenance?: string;
}

function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  return sets.map(({ stem, layers }) => ({
    name: `${stem}.geojson`,
    pieces: {
      [Symbol.iterator]: () =>
        collectionPieces(layers, { bounds: exactBoundsOf(layers), provenance: provenanceJson(provenance) }),
    },
  }));
}

/**
 * One FeatureCollection with `bbox`, a feature a line, no `crs`; properties are the columns, absent ones `null`. Rings turn by the
 * right hand, polygons are cut along the 180° meridian, and a row without a place has a null geometry (§3.2).
 */
export function* collectionPieces(layers: Iterable<ExportLayer>, head: CollectionHead): Generator<string> {
  const digits = (layer: ExportLayer) => DEGREE_DIGITS[layer.geometry.kind];
  let separator = '\n';
  let isOpen = false;
  for (const layer of layers) {
    if (!isOpen) yield opening(head, digits(layer));
    isOpen = true;
    const geometryOf = geometryWriter(layer.geometry);
    const properties = layer.columns.map(propertyWriter);
    let lines: string[] = [];
    for (let row = 0; row < layer.rows; row++) {
      const written = properties.map((property) => property(row)).join(',');
      lines.push(`${separator}{"type":"Feature","geometry":${geometryOf(row)},"properties":{${written}}}`);
      separator = ',\n';
      if (lines.length >= LINES_A_PIECE) {
        yield lines.join('');
        lines = [];
      }
    }
    yield lines.join('');
  }
  if (!isOpen) yield opening(head, DEGREE_DIGITS.point);
  yield '\n]}\n';
}

function opening({ bounds, provenance }: CollectionHead, digits: number): string {
  const box = bounds?.map((angle_deg) => fixedJson(angle_deg, digits)).join(',');
  const about = provenance === undefined ? '' : `"provenance":${provenance},`;
  return `{"type":"FeatureCollection",${box === undefined ? '' : `"bbox":[${box}],`}${about}"features":[`;
}

function propertyWriter(column: LayerColumn): (row: number) => string {
  const key = `${JSON.stringify(column.name)}:`;
  if (column.kind === 'text') {
    const words = column.words.map((word) => key + JSON.stringify(word));
    return (row) => words[column.codes[row]] ?? `${key}null`;
  }
  const { numbers, digits, kind } = column;
  if (kind === 'time') return (row) => key + JSON.stringify(isoFromUnix(numbers[row]));
  if (kind === 'flag')
    return (row) => key + (Number.isFinite(numbers[row]) ? String(numbers[row] !== 0) : 'null');
  return (row) => key + fixedJson(numbers[row], digits);
}

function geometryWriter(geometry: LayerGeometry): (row: number) => string {
  if (geometry.kind === 'point') {
    const { longitude_deg, latitude_deg } = geometry;
    return (row) =>
      Number.isFinite(longitude_deg[row]) && Number.isFinite(latitude_deg[row])
        ? `{"type":"Point","coordinates":${position(longitude_deg[row], latitude_deg[row], DEGREE_DIGITS.point)}}`
        : 'null';
  }
  return (row) => {
    const polygons = polygonParts(geometry.rings(row)).flatMap(polygonText);
    if (polygons.length === 0) return 'null';
    return polygons.length === 1
      ? `{"type":"Polygon","coordinates":${polygons[0]}}`
      : `{"type":"MultiPolygon","coordinates":[${polygons.join(',')}]}`;
  };
}

/** None for ground so small that its corners fall together once they are rounded; a hole that does is no hole. */
function polygonText(rings: PolygonRings): string[] {
  const [outer, ...holes] = rings.map(roundedRing);
  if (!(doubleArea(outer) > 0)) return [];
  const written = [outer, ...holes.filter((hole) => doubleArea(hole) < 0)].map(ringText);
  return [`[${written.join(',')}]`];
}

function roundedRing(ring: Float64Array): Float64Array {
  return ring.map((angle_deg) => Number(angle_deg.toFixed(DEGREE_DIGITS.polygon)));
}

function ringText(ring: Float64Array): string {
  const positions: string[] = [];
  for (let at = 0; at < ring.length; at += 2)
    positions.push(position(ring[at], ring[at + 1], DEGREE_DIGITS.polygon));
  return `[${positions.join(',')}]`;
}

function position(longitude_deg: number, latitude_deg: number, digits: number): string {
  return `[${fixedJson(longitude_deg, digits)},${fixedJson(latitude_deg, digits)}]`;
}
