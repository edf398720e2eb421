/**
 * Field boundaries in a Shapefile, zipped or as its parts, made into GeoJSON in WGS84. Its size is bounded before anything is
 * unpacked, and coordinates in a projected grid are turned back where the .prj says which grid it is.
 */

import type { FeatureCollection, Position } from 'geojson';
import proj4 from 'proj4';
import { read } from 'shapefile';
import yauzl from 'yauzl';
import { failure, type Result, success } from '../../core/errors.ts';
import { shownText } from '../../core/shown-text.ts';
import { isSoundShapefile } from './shapefile-check.ts';

/** The parts that are used, by ending in small letters: shp, dbf, prj, cpg. */
export type ShapefileParts = ReadonlyMap<string, Uint8Array>;

/** Endings of all files that may belong to a Shapefile [ESRI Shapefile Technical Description, July 1998, and its companions]. */
export const SHAPEFILE_ENDINGS = [
  'shp',
  'dbf',
  'prj',
  'shx',
  'cpg',
  'sbn',
  'sbx',
  'qix',
  'qpj',
  'shp.xml',
] as const;
const USED = ['shp', 'dbf', 'prj', 'cpg'] as const;
/** Boundaries of a whole country's fields are smaller; a choice of ours. */
export const MOST_SHAPEFILE_BYTES = 64 << 20;
const MOST_ENTRIES = 5000;
/** File code at the beginning of every .shp, big-endian. */
const FILE_CODE = 9994;
const HEADER_BYTES = 100;

export interface ZippedShapefile {
  readonly parts: ShapefileParts;
  /** Of the .shp, without folder and ending. */
  readonly stem: string;
}

/** Whether a file begins like a zip. */
export function isZip(head: Uint8Array): boolean {
  return head[0] === 0x50 && head[1] === 0x4b && head[2] === 0x03 && head[3] === 0x04;
}

/**
 * The one Shapefile in a zip. Fails with `zip_without_shapefile`, `several_shapefiles`, `zip_bomb` or `zip_damaged`; nothing
 * of the zip touches the disk, so that paths in it lead nowhere.
 */
export async function shapefileInZip(bytes: Uint8Array, source: string): Promise<Result<ZippedShapefile>> {
  const refused = (code: string, what: string) =>
    failure<never>({ code, source, text: `${shownText(source)} ${what}` });
  let entries: readonly OpenEntry[];
  try {
    entries = await entriesOf(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  } catch {
    return refused(
      'zip_damaged',
      'is a zip that cannot be unpacked: it is damaged or cut off. Copy it again from where it came.',
    );
  }
  if (entries.length > MOST_ENTRIES)
    return refused(
      'zip_bomb',
      `holds more than ${MOST_ENTRIES} files, far more than a boundary has; it was not unpacked.`,
    );
  const shapes = entries.filter(({ name }) => endingOf(name) === 'shp' && !/(^|\/)(__MACOSX|\.)/.test(name));
  if (shapes.length === 0) {
    const found = entries.slice(0, 5).map(({ name }) => shownText(name));
    return refused(
      'zip_without_shapefile',
      `is a zip without a Shapefile in it (found: ${found.join(', ') || 'nothing'}); unpack it and give the files in it.`,
    );
  }
  if (shapes.length > 1)
    return refused(
      'several_shapefiles',
      `holds ${shapes.length} Shapefiles; unpack it and give the one with the field boundaries.`,
    );
  const stem = shapes[0].name.slice(0, -4);
  const wanted = entries.filter(({ name }) => {
    const ending = endingOf(name);
    return USED.some((used) => used === ending) && name.slice(0, -4).toLowerCase() === stem.toLowerCase();
  });
  const total = wanted.reduce((sum, { size }) => sum + size, 0);
  if (total > MOST_SHAPEFILE_BYTES) {
    return refused(
      'zip_bomb',
      `would unpack to ${Math.round(total / 2 ** 20)} MB, far more than field boundaries need; it was not unpacked.`,
    );
  }
  try {
    const parts = new Map<string, Uint8Array>();
    for (const entry of wanted) parts.set(endingOf(entry.name), await entry.bytes());
    return success({ parts, stem: stem.split('/').at(-1) ?? stem });
  } catch {
    return refused(
      'zip_damaged',
      'is a zip that cannot be unpacked: it is damaged, or locked with a password.',
    );
  }
}

interface OpenEntry {
  readonly name: string;
  readonly size: number;
  readonly bytes: () => Promise<Uint8Array>;
}

/** The directory of a zip. Throws what yauzl finds wrong with it: paths that lead out, lengths that do not fit. */
function entriesOf(zip: Buffer): Promise<OpenEntry[]> {
  return new Promise((resolve, reject) => {
    yauzl.fromBuffer(zip, { lazyEntries: true }, (caught, file) => {
      if (caught) return reject(caught);
      const entries: OpenEntry[] = [];
      file.on('entry', (entry: yauzl.Entry) => {
        if (!entry.fileName.endsWith('/')) {
          entries.push({
            name: entry.fileName,
            size: entry.uncompressedSize,
            bytes: () => bytesOf(file, entry),
          });
        }
        if (entries.length > MOST_ENTRIES) resolve(entries);
        else file.readEntry();
      });
      file.on('end', () => resolve(entries));
      file.on('error', reject);
      file.readEntry();
    });
  });
}

/** An entry unpacked; what unpacks to more than it claims is an error [yauzl, validateEntrySize]. */
function bytesOf(file: yauzl.ZipFile, entry: yauzl.Entry): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    file.openReadStream(entry, (caught, stream) => {
      if (caught) return reject(caught);
      const pieces: Buffer[] = [];
      stream.on('data', (piece: Buffer) => pieces.push(piece));
      stream.on('end', () => resolve(Buffer.concat(pieces)));
      stream.on('error', reject);
    });
  });
}

/** GeoJSON text of a Shapefile's polygons, in WGS84. Fails with `not_a_shapefile`, `shapefile_damaged` or `unknown_projection`. */
export async function geojsonFromShapefile(parts: ShapefileParts, source: string): Promise<Result<string>> {
  const refused = (code: string, what: string) =>
    failure<never>({ code, source, text: `${shownText(source)} ${what}` });
  const shp = parts.get('shp');
  if (shp === undefined || !isShapefile(shp)) {
    return refused('not_a_shapefile', 'is no Shapefile: its beginning is not that of a .shp file.');
  }
  const damaged = () =>
    refused(
      'shapefile_damaged',
      'is a Shapefile that cannot be read: it is damaged or cut off. Copy it again, with all of its parts.',
    );
  if (!isSoundShapefile(shp)) return damaged();
  let collection: FeatureCollection;
  try {
    const encoding = encodingOf(parts.get('cpg')) ?? guessedEncoding(parts.get('dbf'));
    collection = await read(shp, parts.get('dbf'), encoding === undefined ? {} : { encoding });
  } catch {
    return damaged();
  }
  const toDegrees = projectionOf(parts.get('prj'));
  if (toDegrees === 'unknown') {
    return refused(
      'unknown_projection',
      'is in a projection that its .prj does not say in words that are understood; export it as WGS84 longitude and latitude.',
    );
  }
  if (toDegrees === 'degrees' && !isInDegrees(collection)) {
    return refused(
      'unknown_projection',
      'has coordinates that are no degrees, and no .prj that says which grid they are in; give the .prj file with it, or export it as WGS84 longitude and latitude.',
    );
  }
  if (toDegrees !== 'degrees') {
    for (const { geometry } of collection.features) {
      if (geometry?.type === 'Polygon') convert(geometry.coordinates, toDegrees);
      else if (geometry?.type === 'MultiPolygon')
        for (const rings of geometry.coordinates) convert(rings, toDegrees);
    }
  }
  if (!isInDegrees(collection)) {
    return refused(
      'unknown_projection',
      'has coordinates that lie outside the grid that its .prj names; export it as WGS84 longitude and latitude.',
    );
  }
  return success(JSON.stringify(collection));
}

/** Whether the bytes begin as every .shp does, and hold polygons or no shapes at all. */
export function isShapefile(bytes: Uint8Array): boolean {
  if (bytes.length < HEADER_BYTES) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return view.getInt32(0, false) === FILE_CODE;
}

type ToDegrees = (position: Position) => Position;

/** How coordinates become WGS84 degrees: from the .prj, `degrees` when they are such already (or nothing is said). */
function projectionOf(prj: Uint8Array | undefined): ToDegrees | 'degrees' | 'unknown' {
  if (prj === undefined) return 'degrees';
  const text = new TextDecoder().decode(prj).trim();
  if (text === '') return 'degrees';
  try {
    const converter = proj4(text, 'EPSG:4326');
    if (/^GEOG/i.test(text) && /WGS_?\s?(19)?84/i.test(text)) return 'degrees';
    return ([x, y]) => converter.forward([x, y]);
  } catch {
    return 'unknown';
  }
}

function convert(rings: Position[][], toDegrees: ToDegrees): void {
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) ring[k] = toDegrees(ring[k]);
  }
}

function isInDegrees({ features }: FeatureCollection): boolean {
  return features.every(({ geometry }) => {
    const polygons =
      geometry?.type === 'Polygon'
        ? [geometry.coordinates]
        : geometry?.type === 'MultiPolygon'
          ? geometry.coordinates
          : [];
    return polygons.every((rings) =>
      rings.every((ring) => ring.every(([x, y]) => Math.abs(x) <= 180 && Math.abs(y) <= 90)),
    );
  });
}

/** The encoding that a .cpg names, if it can be read with it. */
function encodingOf(cpg: Uint8Array | undefined): string | undefined {
  const name = cpg && new TextDecoder().decode(cpg).trim().toLowerCase();
  if (name === undefined || name === '') return undefined;
  const plain = /^\d{4}$/.test(name) ? `windows-${name}` : name === '65001' ? 'utf-8' : name;
  try {
    return new TextDecoder(plain).encoding;
  } catch {
    return undefined;
  }
}

/** UTF-8 when the rows of a .dbf are valid as such; undefined leaves it to the reader, which takes Windows-1252. */
function guessedEncoding(dbf: Uint8Array | undefined): string | undefined {
  if (dbf === undefined || dbf.length < 32) return undefined;
  // behind the header, whose length stands in bytes 8 and 9
  const rows = dbf.subarray(dbf[8] + 256 * dbf[9]);
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(rows);
    return 'utf-8';
  } catch {
    return undefined;
  }
}

/** Ending in small letters, without the dot. */
function endingOf(name: string): string {
  return name.slice(name.lastIndexOf('.') + 1).toLowerCase();
}
