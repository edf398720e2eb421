/** Shapefiles for tests, from the published layout [ESRI Shapefile Technical Description, July 1998; dBASE III header]. */
import { zipSync } from 'fflate';

/** One polygon record: rings of [x, y], outer ones clockwise, and the texts of its attributes. */
export interface MadeShape {
  readonly rings: readonly (readonly (readonly [x: number, y: number])[])[];
  readonly attributes: Readonly<Record<string, string>>;
}

/** WGS84 longitude and latitude in the words of a .prj [OGC 01-009 WKT 1]. */
export const WGS84_PRJ =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';

const POLYGON = 5;
const TEXT_BYTES = 40;

export function shpBytes(shapes: readonly MadeShape[]): Uint8Array {
  const records = shapes.map(({ rings }, k) => recordBytes(rings, k + 1));
  const length = 100 + records.reduce((sum, record) => sum + record.length, 0);
  const view = new DataView(new ArrayBuffer(length));
  view.setInt32(0, 9994, false);
  view.setInt32(24, length / 2, false);
  view.setInt32(28, 1000, true);
  view.setInt32(32, POLYGON, true);
  setBox(
    view,
    36,
    shapes.flatMap(({ rings }) => rings.flat()),
  );
  const bytes = new Uint8Array(view.buffer);
  let at = 100;
  for (const record of records) {
    bytes.set(record, at);
    at += record.length;
  }
  return bytes;
}

function recordBytes(rings: MadeShape['rings'], number: number): Uint8Array {
  const points = rings.flat();
  const content = 44 + 4 * rings.length + 16 * points.length;
  const view = new DataView(new ArrayBuffer(8 + content));
  view.setInt32(0, number, false);
  view.setInt32(4, content / 2, false);
  view.setInt32(8, POLYGON, true);
  setBox(view, 12, points);
  view.setInt32(44, rings.length, true);
  view.setInt32(48, points.length, true);
  let first = 0;
  rings.forEach((ring, k) => {
    view.setInt32(52 + 4 * k, first, true);
    first += ring.length;
  });
  points.forEach(([x, y], k) => {
    view.setFloat64(52 + 4 * rings.length + 16 * k, x, true);
    view.setFloat64(60 + 4 * rings.length + 16 * k, y, true);
  });
  return new Uint8Array(view.buffer);
}

function setBox(view: DataView, at: number, points: readonly (readonly [number, number])[]): void {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)].forEach((edge, k) => {
    view.setFloat64(at + 8 * k, edge, true);
  });
}

export function dbfBytes(shapes: readonly MadeShape[]): Uint8Array {
  const names = Object.keys(shapes[0]?.attributes ?? {});
  const header = 32 + 32 * names.length + 1;
  const record = 1 + TEXT_BYTES * names.length;
  const view = new DataView(new ArrayBuffer(header + record * shapes.length + 1));
  const bytes = new Uint8Array(view.buffer).fill(0x20, header);
  view.setUint8(0, 3);
  view.setUint32(4, shapes.length, true);
  view.setUint16(8, header, true);
  view.setUint16(10, record, true);
  names.forEach((name, k) => {
    bytes.set(new TextEncoder().encode(name.slice(0, 10)), 32 + 32 * k);
    view.setUint8(32 + 32 * k + 11, 'C'.charCodeAt(0));
    view.setUint8(32 + 32 * k + 16, TEXT_BYTES);
  });
  view.setUint8(header - 1, 0x0d);
  shapes.forEach(({ attributes }, row) => {
    names.forEach((name, k) => {
      const text = new TextEncoder().encode(attributes[name]).subarray(0, TEXT_BYTES);
      bytes.set(text, header + row * record + 1 + k * TEXT_BYTES);
    });
  });
  view.setUint8(bytes.length - 1, 0x1a);
  return bytes;
}

/** A zip with the parts of a Shapefile in a folder, as programs for maps export them. */
export function zippedShapefile(
  shapes: readonly MadeShape[],
  prj: string | undefined = WGS84_PRJ,
): Uint8Array {
  return zipSync({
    'export/fields.shp': shpBytes(shapes),
    'export/fields.dbf': dbfBytes(shapes),
    ...(prj === undefined ? {} : { 'export/fields.prj': new TextEncoder().encode(prj) }),
  });
}
