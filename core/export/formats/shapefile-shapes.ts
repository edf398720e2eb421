/** The shapes of a Shapefile and their index. Outer rings turn clockwise, holes the other way; what has no place is a null shape. */
import type { ExportLayer, PolygonGeometry } from '../layers/layer.ts';
import { FINE_DEGREE_DIGITS, finePolygons, roundedTo } from './layer-values.ts';

/** What must be known before the first byte of a file can be written. */
export interface ShapeSurvey {
  readonly shape: 1 | 5;
  /** Bytes of each record's content, over all layers. */
  readonly contents: Int32Array;
  /** Of the `.shp` file. */
  readonly bytes: number;
  /** West, south, east, north as plain numbers; zeros for none. */
  readonly box: readonly number[];
}

const HEADER_BYTES = 100;
const RECORD_HEAD_BYTES = 8;
const NULL_BYTES = 4;
const POINT_BYTES = 20;
const PIECE_BYTES = 1 << 16;
const FILE_CODE = 9994;
const VERSION = 1000;
const POINT = 1;
const POLYGON = 5;

/** One pass over all rings; layers are of one kind of geometry. */
export function surveyShapes(layers: readonly ExportLayer[]): ShapeSurvey {
  const rows = layers.reduce((sum, layer) => sum + layer.rows, 0);
  const contents = new Int32Array(rows);
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  let bytes = HEADER_BYTES;
  let record = 0;
  for (const layer of layers) {
    const { geometry } = layer;
    for (let row = 0; row < layer.rows; row++) {
      if (geometry.kind === 'point') {
        const [longitude_deg, latitude_deg] = [geometry.longitude_deg[row], geometry.latitude_deg[row]];
        const isPlaced = Number.isFinite(longitude_deg) && Number.isFinite(latitude_deg);
        if (isPlaced) widen(box, fine(longitude_deg), fine(latitude_deg));
        contents[record] = isPlaced ? POINT_BYTES : NULL_BYTES;
      } else {
        const rings = shapeRings(geometry, row);
        for (const ring of rings)
          for (let at = 0; at < ring.length; at += 2) widen(box, ring[at], ring[at + 1]);
        contents[record] = rings.length === 0 ? NULL_BYTES : polygonBytes(rings);
      }
      bytes += RECORD_HEAD_BYTES + contents[record];
      record++;
    }
  }
  const shape = layers[0]?.geometry.kind === 'polygon' ? POLYGON : POINT;
  return { shape, contents, bytes, box: box[0] <= box[2] ? box : [0, 0, 0, 0] };
}

/** The `.shp` file, from the same layers as the survey. */
export function* shapePieces(layers: readonly ExportLayer[], survey: ShapeSurvey): Generator<Uint8Array> {
  yield fileHeader(survey, survey.bytes);
  let record = 0;
  let waiting: Uint8Array[] = [];
  let waitingBytes = 0;
  for (const { rows, geometry } of layers) {
    for (let row = 0; row < rows; row++) {
      const bytes = new Uint8Array(RECORD_HEAD_BYTES + survey.contents[record]);
      const view = new DataView(bytes.buffer);
      view.setInt32(0, record + 1);
      view.setInt32(4, survey.contents[record] / 2);
      const content = new DataView(bytes.buffer, RECORD_HEAD_BYTES);
      if (survey.contents[record] > NULL_BYTES) {
        if (geometry.kind === 'polygon') writePolygon(content, shapeRings(geometry, row));
        else writePoint(content, geometry.longitude_deg[row], geometry.latitude_deg[row]);
      }
      waiting.push(bytes);
      waitingBytes += bytes.length;
      record++;
      if (waitingBytes >= PIECE_BYTES) {
        yield joined(waiting, waitingBytes);
        waiting = [];
        waitingBytes = 0;
      }
    }
  }
  yield joined(waiting, waitingBytes);
}

/** Offset and length of each record, in words of 16 bits. */
export function* indexPieces(survey: ShapeSurvey): Generator<Uint8Array> {
  const { contents } = survey;
  yield fileHeader(survey, HEADER_BYTES + 8 * contents.length);
  const rowsAPiece = PIECE_BYTES / 8;
  let offset = HEADER_BYTES;
  for (let from = 0; from < contents.length; from += rowsAPiece) {
    const to = Math.min(contents.length, from + rowsAPiece);
    const view = new DataView(new ArrayBuffer(8 * (to - from)));
    for (let row = from; row < to; row++) {
      view.setInt32(8 * (row - from), offset / 2);
      view.setInt32(8 * (row - from) + 4, contents[row] / 2);
      offset += RECORD_HEAD_BYTES + contents[row];
    }
    yield new Uint8Array(view.buffer);
  }
}

function fileHeader({ shape, box }: ShapeSurvey, bytes: number): Uint8Array {
  const view = new DataView(new ArrayBuffer(HEADER_BYTES));
  view.setInt32(0, FILE_CODE);
  view.setInt32(24, bytes / 2);
  view.setInt32(28, VERSION, true);
  view.setInt32(32, shape, true);
  box.forEach((side, k) => {
    view.setFloat64(36 + 8 * k, side, true);
  });
  return new Uint8Array(view.buffer);
}

function writePoint(view: DataView, longitude_deg: number, latitude_deg: number): void {
  view.setInt32(0, POINT, true);
  view.setFloat64(4, fine(longitude_deg), true);
  view.setFloat64(12, fine(latitude_deg), true);
}

function writePolygon(view: DataView, rings: readonly Float64Array[]): void {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  view.setInt32(0, POLYGON, true);
  view.setInt32(36, rings.length, true);
  let corners = 0;
  const first = 44 + 4 * rings.length;
  rings.forEach((ring, k) => {
    view.setInt32(44 + 4 * k, corners, true);
    for (let at = 0; at < ring.length; at += 2) {
      view.setFloat64(first + 16 * corners, ring[at], true);
      view.setFloat64(first + 16 * corners + 8, ring[at + 1], true);
      widen(box, ring[at], ring[at + 1]);
      corners++;
    }
  });
  view.setInt32(40, corners, true);
  box.forEach((side, k) => {
    view.setFloat64(4 + 8 * k, side, true);
  });
}

function polygonBytes(rings: readonly Float64Array[]): number {
  return 44 + rings.reduce((sum, ring) => sum + 4 + 8 * ring.length, 0);
}

/** All rings of a row, turned the way that Shapefiles want them. */
function shapeRings(geometry: PolygonGeometry, row: number): Float64Array[] {
  return finePolygons(geometry, row).flatMap((rings) => rings.map(reversed));
}

function reversed(ring: Float64Array): Float64Array {
  const last = ring.length - 2;
  return ring.map((_, at) => ring[last - (at - (at % 2)) + (at % 2)]);
}

function fine(angle_deg: number): number {
  return roundedTo(angle_deg, FINE_DEGREE_DIGITS);
}

function widen(box: number[], x: number, y: number): void {
  box[0] = Math.min(box[0], x);
  box[1] = Math.min(box[1], y);
  box[2] = Math.max(box[2], x);
  box[3] = Math.max(box[3], y);
}

function joined(parts: readonly Uint8Array[], bytes: number): Uint8Array {
  const whole = new Uint8Array(bytes);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
