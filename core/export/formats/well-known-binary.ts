/**
 * Geometry as well-known binary, little-endian [OGC 06-103r4 §8.2]: Point 1, Polygon 3, and MultiPolygon 6 where a polygon lies
 * across the 180° meridian and is cut there.
 */
import type { ExportLayer } from '../layers/layer.ts';
import { FINE_DEGREE_DIGITS, finePolygons, roundedTo } from './layer-values.ts';

export type WkbKind = 'Point' | 'Polygon' | 'MultiPolygon';

export interface WkbGeometry {
  readonly kind: WkbKind;
  readonly bytes: Uint8Array;
  /** Least and greatest of the positions as they are written: −180 to 180 for what was cut at that meridian. */
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
}

/** The geometry of a row; `undefined` for a row without a place. */
export function wellKnownBinary({ geometry }: ExportLayer, row: number): WkbGeometry | undefined {
  if (geometry.kind === 'point') {
    const longitude_deg = roundedTo(geometry.longitude_deg[row], FINE_DEGREE_DIGITS);
    const latitude_deg = roundedTo(geometry.latitude_deg[row], FINE_DEGREE_DIGITS);
    if (!Number.isFinite(longitude_deg) || !Number.isFinite(latitude_deg)) return undefined;
    return pointGeometry(longitude_deg, latitude_deg);
  }
  const polygons = finePolygons(geometry, row);
  return polygons.length === 0 ? undefined : polygonGeometry(polygons);
}

const HEAD_BYTES = 5;
const POSITION_BYTES = 16;
const CODES = { Point: 1, Polygon: 3, MultiPolygon: 6 } as const;

function pointGeometry(longitude_deg: number, latitude_deg: number): WkbGeometry {
  const view = new DataView(new ArrayBuffer(HEAD_BYTES + POSITION_BYTES));
  writeHead(view, 0, 'Point');
  view.setFloat64(HEAD_BYTES, longitude_deg, true);
  view.setFloat64(HEAD_BYTES + 8, latitude_deg, true);
  return {
    kind: 'Point',
    bytes: new Uint8Array(view.buffer),
    west_deg: longitude_deg,
    south_deg: latitude_deg,
    east_deg: longitude_deg,
    north_deg: latitude_deg,
  };
}

function polygonGeometry(polygons: readonly (readonly Float64Array[])[]): WkbGeometry {
  const isMany = polygons.length > 1;
  const bodies = polygons.map((rings) => 4 + rings.reduce((sum, ring) => sum + 4 + ring.length * 8, 0));
  const size = (isMany ? HEAD_BYTES + 4 : 0) + bodies.reduce((sum, bytes) => sum + HEAD_BYTES + bytes, 0);
  const view = new DataView(new ArrayBuffer(size));
  let at = 0;
  if (isMany) {
    at = writeHead(view, at, 'MultiPolygon');
    view.setUint32(at, polygons.length, true);
    at += 4;
  }
  let [west_deg, south_deg] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  let [east_deg, north_deg] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const rings of polygons) {
    at = writeHead(view, at, 'Polygon');
    view.setUint32(at, rings.length, true);
    at += 4;
    for (const ring of rings) {
      view.setUint32(at, ring.length / 2, true);
      at += 4;
      for (let k = 0; k < ring.length; k += 2, at += POSITION_BYTES) {
        view.setFloat64(at, ring[k], true);
        view.setFloat64(at + 8, ring[k + 1], true);
        west_deg = Math.min(west_deg, ring[k]);
        east_deg = Math.max(east_deg, ring[k]);
        south_deg = Math.min(south_deg, ring[k + 1]);
        north_deg = Math.max(north_deg, ring[k + 1]);
      }
    }
  }
  const kind = isMany ? 'MultiPolygon' : 'Polygon';
  return { kind, bytes: new Uint8Array(view.buffer), west_deg, south_deg, east_deg, north_deg };
}

/** Byte order 1: little-endian. */
function writeHead(view: DataView, at: number, kind: WkbKind): number {
  view.setUint8(at, 1);
  view.setUint32(at + 1, CODES[kind], true);
  return at + HEAD_BYTES;
}
