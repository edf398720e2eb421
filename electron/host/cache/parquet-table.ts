/** One table of columns ↔ one Parquet file: flat, nothing optional, one row group, uncompressed, so that any reader can have it. */
import { parquetMetadata, parquetRead } from 'hyparquet';
import { parquetWriteBuffer } from 'hyparquet-writer';
import type { CachedColumn, CachedTable } from './column-tree.ts';

/** `about` goes into the file's own key-value metadata. */
export function parquetBytes(table: CachedTable, about: Readonly<Record<string, string>>): Uint8Array {
  const columnData = [...table.columns].map(([name, column]) => {
    const { type, numbers } = physical(column);
    return { name, type, data: numbers, nullable: false, encoding: 'PLAIN' as const };
  });
  const bytes = parquetWriteBuffer({
    columnData,
    codec: 'UNCOMPRESSED',
    statistics: false,
    rowGroupSize: Math.max(1, table.rows),
    // one page a column: it is read as it lies there
    pageSize: 0,
    kvMetadata: Object.entries(about).map(([key, value]) => ({ key, value })),
    createdBy: about.program,
  });
  return new Uint8Array(bytes);
}

/** All columns of a file that `parquetBytes` made. Throws on anything else. */
export async function readParquetTable(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<CachedTable> {
  const { buffer, byteOffset, byteLength } = bytes;
  const file = {
    byteLength,
    slice: (from: number, to?: number) => buffer.slice(byteOffset + from, byteOffset + (to ?? byteLength)),
  };
  const metadata = parquetMetadata(file.slice(0));
  const rows = Number(metadata.num_rows);
  const columns = new Map<string, CachedColumn>();
  await parquetRead({
    file,
    metadata,
    onChunk: ({ columnName, columnData }) => {
      if (!isColumn(columnData) || columnData.length !== rows || columns.has(columnName))
        throw new RangeError(`the column "${columnName}" of "${name}" is not as it was written`);
      columns.set(columnName, columnData);
    },
  });
  return { name, rows, columns };
}

function isColumn(found: unknown): found is CachedColumn {
  return found instanceof Float64Array || found instanceof Float32Array || found instanceof Int32Array;
}

const MOST_INT32 = 2 ** 31 - 1;

/** Numbers as Parquet holds them; whole ones of 32 bits without sign that do not fit into those with one become doubles. */
function physical(column: CachedColumn): {
  readonly type: 'DOUBLE' | 'FLOAT' | 'INT32';
  readonly numbers: CachedColumn;
} {
  if (column instanceof Float64Array) return { type: 'DOUBLE', numbers: column };
  if (column instanceof Float32Array) return { type: 'FLOAT', numbers: column };
  if (column instanceof Uint32Array && column.some((x) => x > MOST_INT32))
    return { type: 'DOUBLE', numbers: Float64Array.from(column) };
  return { type: 'INT32', numbers: column instanceof Int32Array ? column : Int32Array.from(column) };
}
