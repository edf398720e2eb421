/** GeoPackage 1.2: one SQLite file for all kinds of layers, with a table for each and the fields below each other in it. */
import type { Database, SqlValue } from 'sql.js';
import type { DataError } from '../../../core/errors.ts';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from '../../../core/export/formats/format.ts';
import { roundedTo, typedValue } from '../../../core/export/formats/layer-values.ts';
import { setGroups } from '../../../core/export/formats/set-groups.ts';
import { type WkbGeometry, wellKnownBinary } from '../../../core/export/formats/well-known-binary.ts';
import type { ExportLayer, LayerColumn, LayerKind } from '../../../core/export/layers/layer.ts';
import { isoFromUnix } from '../../../core/iso-time.ts';
import { GEOPACKAGE_HEAD, GEOPACKAGE_TABLES } from './geopackage-schema.ts';

/** One file for all sets, or for each field; refused for more features than memory holds. */
export const geoPackage: ExportFormat = { kinds: ['points', 'swaths', 'cells', 'zones'], refusal, files };

/**
 * The file is made in memory: a million points of twenty columns take 143 MB, and 0.4 GB and 6 s to make [measured]. A choice of ours
 * well below the 4 GB that WebAssembly can address.
 */
const MOST_ROWS = 5_000_000;

function refusal(sets: readonly LayerSet[]): DataError | undefined {
  for (const { stem, sets: group } of setGroups(sets)) {
    const rows = group.flatMap(({ layers }) => layers).reduce((sum, layer) => sum + layer.rows, 0);
    if (rows <= MOST_ROWS) continue;
    const text =
      `${stem}.gpkg would hold ${rows} features, and it is made in memory, which ends at ${MOST_ROWS}; ` +
      'export fewer fields or layers at once, or a file for each field, or as GeoParquet, which has no such limit.';
    return { code: 'too_many_for_geopackage', source: stem, text };
  }
  return undefined;
}

function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  return setGroups(sets).map(({ stem, sets: group }): ExportFile => {
    async function* pieces(): AsyncGenerator<Uint8Array> {
      yield await geoPackageBytes(group, provenance);
    }
    return { name: `${stem}.gpkg`, pieces: { [Symbol.asyncIterator]: pieces } };
  });
}

/** The whole file; SQLite needs it in memory, twice its size at the end. */
async function geoPackageBytes(sets: readonly LayerSet[], provenance: Provenance): Promise<Uint8Array> {
  // a megabyte of WebAssembly that no other work needs
  const { default: initSqlJs } = await import('sql.js');
  const { Database } = await initSqlJs();
  const database = new Database();
  try {
    database.run(GEOPACKAGE_HEAD);
    database.run('BEGIN');
    database.run(GEOPACKAGE_TABLES);
    const layers = sets.flatMap((set) => set.layers);
    const changed = lastChange(layers);
    for (const kind of new Set(layers.map((layer) => layer.kind))) {
      const ofKind = layers.filter((layer) => layer.kind === kind);
      writeTable(database, kind, ofKind, changed);
    }
    writeProvenance(database, provenance, changed);
    database.run('COMMIT');
    return database.export();
  } finally {
    database.close();
  }
}

/** When the last of the ground was cut: the clock of whoever writes the file has no place in it. */
function lastChange(layers: readonly ExportLayer[]): string {
  let latest_s = 0;
  for (const { columns } of layers) {
    for (const column of columns) {
      if (column.kind !== 'time') continue;
      for (const utc_s of column.numbers) if (utc_s > latest_s) latest_s = utc_s;
    }
  }
  return isoFromUnix(latest_s) ?? '';
}

const SQL_TYPES: Readonly<Record<LayerColumn['kind'], string>> = {
  real: 'DOUBLE',
  whole: 'INTEGER',
  flag: 'BOOLEAN',
  time: 'DATETIME',
  text: 'TEXT',
};

/** Besides the layer's own columns. */
const OWN_COLUMNS = ['fid', 'geom', 'field', 'crop'];

function writeTable(
  database: Database,
  kind: LayerKind,
  layers: readonly ExportLayer[],
  changed: string,
): void {
  const columns = columnsBesideOwn(layers[0]);
  const defined = columns.map(({ name, kind }) => `${quoted(name)} ${SQL_TYPES[kind]}`);
  database.run(
    `CREATE TABLE ${kind} (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, ${['field TEXT', 'crop TEXT', ...defined].join(', ')})`,
  );
  const span = { west: Infinity, south: Infinity, east: -Infinity, north: -Infinity };
  const kinds = new Set<WkbGeometry['kind']>();
  const marks = Array(columns.length + 3).fill('?');
  const insert = database.prepare(`INSERT INTO ${kind} VALUES (NULL, ${marks.join(', ')})`);
  for (const layer of layers) {
    const own = columnsBesideOwn(layer);
    if (own.some(({ name }, k) => name !== columns[k]?.name))
      throw new RangeError(`layers "${kind}" of ${layers[0].field} and ${layer.field} have other columns`);
    const [field, crop] = [sqlText(layer.field), sqlText(layer.crop)];
    for (let row = 0; row < layer.rows; row++) {
      const geometry = wellKnownBinary(layer, row);
      if (geometry !== undefined) {
        kinds.add(geometry.kind);
        span.west = Math.min(span.west, geometry.west_deg);
        span.south = Math.min(span.south, geometry.south_deg);
        span.east = Math.max(span.east, geometry.east_deg);
        span.north = Math.max(span.north, geometry.north_deg);
      }
      const blob = geometry === undefined ? null : geometryBlob(geometry);
      insert.run([blob, field, crop, ...own.map((column) => sqlValue(column, row))]);
    }
  }
  insert.free();
  // of a table without places the span is not known
  const bounds = [span.west, span.south, span.east, span.north].map((side) => (kinds.size > 0 ? side : null));
  database.run('INSERT INTO gpkg_contents VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)', [
    ...[kind, 'features', kind, TABLE_TITLES[kind], changed],
    ...bounds,
    4326,
  ]);
  database.run('INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, 4326, 0, 0)', [
    kind,
    'geom',
    geometryType(layers[0], kinds),
  ]);
  for (const { name, about } of columns)
    database.run('INSERT INTO gpkg_data_columns VALUES (?, ?, NULL, NULL, ?, NULL, NULL)', [
      kind,
      name,
      about,
    ]);
}

const TABLE_TITLES: Readonly<Record<LayerKind, string>> = {
  points: 'Yield points, one an interval between position fixes',
  swaths: 'The ground that was cut in each interval',
  cells: 'Cells of the yield surface',
  zones: 'Zones of like yield',
};

function columnsBesideOwn(layer: ExportLayer): readonly LayerColumn[] {
  return layer.columns.filter(({ name }) => !OWN_COLUMNS.includes(name));
}

/** `GEOMETRY` is the class of both polygons and those that were cut at the 180° meridian. */
function geometryType({ geometry }: ExportLayer, kinds: ReadonlySet<string>): string {
  if (geometry.kind === 'point') return 'POINT';
  return kinds.has('MultiPolygon') ? 'GEOMETRY' : 'POLYGON';
}

function sqlValue(column: LayerColumn, row: number): SqlValue {
  if (column.kind === 'time') return isoFromUnix(roundedTo(column.numbers[row], column.digits));
  const found = typedValue(column, row);
  if (typeof found === 'string') return sqlText(found);
  return typeof found === 'boolean' ? Number(found) : found;
}

/** Without NUL, at which many readers of SQLite end a text, and without halves of characters. */
function sqlText(text: string): string {
  return text.replaceAll(/\0|\p{Surrogate}/gu, '\ufffd');
}

/** With the box of polygons, which saves readers from looking into them [OGC 12-128r14 §2.1.3]. */
function geometryBlob({ kind, bytes, west_deg, south_deg, east_deg, north_deg }: WkbGeometry): Uint8Array {
  const hasBox = kind !== 'Point';
  const start = hasBox ? 40 : 8;
  const blob = new Uint8Array(start + bytes.length);
  const view = new DataView(blob.buffer);
  // "GP", version 1 of the format is 0, little-endian, kind of the box
  blob.set([0x47, 0x50, 0, 1 | (hasBox ? 1 << 1 : 0)]);
  view.setInt32(4, 4326, true);
  if (hasBox)
    for (const [k, side] of [west_deg, east_deg, south_deg, north_deg].entries())
      view.setFloat64(8 + 8 * k, side, true);
  blob.set(bytes, start);
  return blob;
}

function writeProvenance(database: Database, provenance: Provenance, changed: string): void {
  database.run('INSERT INTO gpkg_metadata VALUES (1, ?, ?, ?, ?)', [
    'dataset',
    'urn:sheaflight:provenance',
    'application/json',
    JSON.stringify(provenance),
  ]);
  database.run('INSERT INTO gpkg_metadata_reference VALUES (?, NULL, NULL, NULL, ?, 1, NULL)', [
    'geopackage',
    changed,
  ]);
}

function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}
