/**
 * GeoParquet 1.1 as one data set for any number of fields: `points/crop=corn/field=Home/part-0.parquet`. Field and crop are in the
 * path alone, as engines that write such data sets leave them, and in the file's own metadata for one that was taken out.
 */
import { ByteWriter, type ColumnSource, ParquetWriter, type SchemaElement } from 'hyparquet-writer';
import type { ExportFile, ExportFormat, LayerSet, Provenance } from '../../../core/export/formats/format.ts';
import { partitionFolder } from '../../../core/export/formats/hive-partition.ts';
import { boundsOf, typedValue } from '../../../core/export/formats/layer-values.ts';
import { type WkbKind, wellKnownBinary } from '../../../core/export/formats/well-known-binary.ts';
import type { ExportLayer, LayerColumn } from '../../../core/export/layers/layer.ts';

/** Files below a folder for each kind of layer, one a field. */
export const geoParquet: ExportFormat = { kinds: ['points', 'swaths', 'cells', 'zones'], files };

/** Rows of a layer are in the order in which the ground was cut, or in rows of cells, so that a group of them is a strip of the field. */
const ROWS_A_GROUP = 65_536;

/** What the path of a file says already. */
const PARTITIONS = ['crop', 'field'];

function files(sets: readonly LayerSet[], provenance: Provenance): ExportFile[] {
  const taken = new Map<string, string>();
  const parts = new Map<string, number>();
  return sets.flatMap(({ layers }) =>
    layers.map((layer): ExportFile => {
      const folder = `${layer.kind}/${partitionFolder({ crop: layer.crop, field: layer.field }, taken)}`;
      const part = parts.get(folder) ?? 0;
      parts.set(folder, part + 1);
      return {
        name: `${folder}/part-${part}.parquet`,
        pieces: { [Symbol.iterator]: () => filePieces(layer, provenance) },
      };
    }),
  );
}

/** A piece for each row group, and the footer. */
function* filePieces(layer: ExportLayer, provenance: Provenance): Generator<Uint8Array> {
  const columns = layer.columns.filter(({ name }) => !PARTITIONS.includes(name));
  const sink = new ByteWriter();
  const writer = new ParquetWriter({
    writer: sink,
    schema: schemaOf(columns),
    createdBy: provenance.generated_by,
  });
  const kinds = new Set<WkbKind>();
  for (let from = 0; from < layer.rows; from += ROWS_A_GROUP) {
    const to = Math.min(from + ROWS_A_GROUP, layer.rows);
    writer.write({ columnData: groupColumns(layer, columns, { from, to }, kinds), rowGroupSize: to - from });
    yield takeBytes(sink);
  }
  // they stand in the footer
  writer.kvMetadata = [
    { key: 'geo', value: JSON.stringify(geoMetadata(layer, [...kinds].sort())) },
    { key: 'sheaflight', value: JSON.stringify(aboutText(layer, provenance)) },
  ];
  writer.finish();
  yield takeBytes(sink);
}

/** What was written since; places in the file are counted by `offset`, which goes on. */
function takeBytes(sink: ByteWriter): Uint8Array {
  const bytes = sink.getBytes().slice();
  sink.index = 0;
  return bytes;
}

const PARQUET_TYPES: Readonly<Record<LayerColumn['kind'], Pick<SchemaElement, 'type' | 'converted_type'>>> = {
  real: { type: 'DOUBLE' },
  whole: { type: 'INT32' },
  flag: { type: 'BOOLEAN' },
  // milliseconds since 1970-01-01 UTC
  time: { type: 'INT64', converted_type: 'TIMESTAMP_MILLIS' },
  text: { type: 'BYTE_ARRAY', converted_type: 'UTF8' },
};

const BOX_SIDES = ['xmin', 'ymin', 'xmax', 'ymax'] as const;

/** The same for every layer of a kind: what types are in a file does not hang on what was absent in it. */
function schemaOf(columns: readonly LayerColumn[]): SchemaElement[] {
  return [
    { name: 'root', num_children: columns.length + 2 },
    ...columns.map(
      ({ name, kind }): SchemaElement => ({
        name,
        ...PARQUET_TYPES[kind],
        repetition_type: 'OPTIONAL',
      }),
    ),
    { name: 'geometry', type: 'BYTE_ARRAY', repetition_type: 'OPTIONAL' },
    { name: 'bbox', num_children: BOX_SIDES.length, repetition_type: 'OPTIONAL' },
    ...BOX_SIDES.map((name): SchemaElement => ({ name, type: 'DOUBLE', repetition_type: 'REQUIRED' })),
  ];
}

/** Adds the kinds of geometry that it meets to `kinds`. */
function groupColumns(
  layer: ExportLayer,
  columns: readonly LayerColumn[],
  { from, to }: { readonly from: number; readonly to: number },
  kinds: Set<WkbKind>,
): ColumnSource[] {
  const rows = Array.from({ length: to - from }, (_, k) => from + k);
  const geometry = rows.map((row) => wellKnownBinary(layer, row));
  for (const found of geometry) if (found !== undefined) kinds.add(found.kind);
  return [
    ...columns.map((column) => ({ name: column.name, data: rows.map((row) => physical(column, row)) })),
    { name: 'geometry', data: geometry.map((found) => found?.bytes ?? null), statistics: false },
    {
      name: 'bbox',
      // of ground that is cut at the 180° meridian it is −180 to 180: too wide, but no engine misses it
      data: geometry.map((found) =>
        found === undefined
          ? null
          : { xmin: found.west_deg, ymin: found.south_deg, xmax: found.east_deg, ymax: found.north_deg },
      ),
    },
  ];
}

/** Throws RangeError for a whole number beyond 32 bits: counts and places are not that large. */
function physical(column: LayerColumn, row: number): number | bigint | string | boolean | null {
  const found = typedValue(column, row);
  if (typeof found !== 'number') return found;
  if (column.kind === 'time') return BigInt(Math.round(found * 1000));
  if (column.kind !== 'whole') return found;
  if (Math.round(found) !== (found | 0))
    throw new RangeError(`${column.name} of ${found} needs more than 32 bits`);
  return found | 0;
}

/** [GeoParquet 1.1.0]; without `crs` it is OGC:CRS84, longitude and latitude on WGS84. */
function geoMetadata(layer: ExportLayer, kinds: readonly WkbKind[]): Record<string, unknown> {
  const bounds = boundsOf([layer]);
  const side = (name: string) => ['bbox', name];
  return {
    version: '1.1.0',
    primary_column: 'geometry',
    columns: {
      geometry: {
        encoding: 'WKB',
        geometry_types: kinds,
        edges: 'planar',
        orientation: 'counterclockwise',
        ...(bounds && { bbox: bounds }),
        covering: { bbox: Object.fromEntries(BOX_SIDES.map((name) => [name, side(name)])) },
      },
    },
  };
}

function aboutText(layer: ExportLayer, provenance: Provenance): Record<string, unknown> {
  return {
    ...provenance,
    kind: layer.kind,
    crop: layer.crop,
    field: layer.field,
    columns: Object.fromEntries(layer.columns.map(({ name, about }) => [name, about])),
  };
}
