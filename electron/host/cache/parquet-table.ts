/** One table of columns ↔ one Parquet file: flat, nothing optional, one row group, uncompressed, so that any reader can have it. */
import { createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { parquetMetadata } from 'hyparquet';
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

/** A table, and the SHA-256 of the file that it was read from. */
export interface ReadTable {
  readonly table: CachedTable;
  readonly sha256: string;
}

/**
 * All columns of a file that `parquetBytes` made, each read to where it stays: a season of a million points is there in the time
 * that its bytes take. Throws on most other files; whether it is as it was written, its hash tells.
 */
export async function readParquetTable(name: string, path: string): Promise<ReadTable> {
  const file = await open(path, 'r');
  try {
    const { size } = await file.stat();
    const { rows, places } = await layoutOf(file, size);
    const hash = createHash('sha256');
    const columns = new Map<string, CachedColumn>();
    let at = 0;
    const next = async (bytes: Uint8Array) => {
      await readExactly(file, bytes, at);
      hash.update(bytes);
      at += bytes.length;
    };
    for (const { column, Kind, from } of places) {
      if (from < at || from + rows * Kind.BYTES_PER_ELEMENT > size)
        throw new RangeError(`the column "${column}" of "${name}" is not where it was written`);
      await next(new Uint8Array(from - at));
      const numbers = new Kind(rows);
      await next(new Uint8Array(numbers.buffer));
      columns.set(column, numbers);
    }
    await next(new Uint8Array(size - at));
    return { table: { name, rows, columns }, sha256: hash.digest('hex') };
  } finally {
    await file.close();
  }
}

const KINDS = { DOUBLE: Float64Array, FLOAT: Float32Array, INT32: Int32Array } as const;

interface ColumnPlace {
  readonly column: string;
  readonly Kind: (typeof KINDS)[keyof typeof KINDS];
  /** First byte of its numbers. */
  readonly from: number;
}

/** Footers of tables with hundreds of columns are shorter. */
const MOST_FOOTER_BYTES = 1 << 20;

/** Numbers of a column that is one plain page without levels end where the column ends. */
async function layoutOf(file: FileHandle, size: number): Promise<{ rows: number; places: ColumnPlace[] }> {
  const footer = new Uint8Array(Math.min(size, MOST_FOOTER_BYTES));
  await readExactly(file, footer, size - footer.length);
  const { num_rows, row_groups } = parquetMetadata(footer.buffer);
  const rows = Number(num_rows);
  if (row_groups.length !== 1 || !(rows * 4 < size)) throw new RangeError('not a table of the cache');
  const places = row_groups[0].columns.map(({ meta_data }): ColumnPlace => {
    const Kind = KINDS[meta_data?.type as keyof typeof KINDS];
    if (meta_data === undefined || Kind === undefined) throw new RangeError('not a table of the cache');
    const end = Number(meta_data.data_page_offset) + Number(meta_data.total_compressed_size);
    return { column: meta_data.path_in_schema[0], Kind, from: end - rows * Kind.BYTES_PER_ELEMENT };
  });
  return { rows, places };
}

async function readExactly(file: FileHandle, bytes: Uint8Array, from: number): Promise<void> {
  let at = 0;
  while (at < bytes.length) {
    const { bytesRead } = await file.read(bytes, at, bytes.length - at, from + at);
    if (bytesRead === 0) throw new RangeError('the file ends too early');
    at += bytesRead;
  }
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
