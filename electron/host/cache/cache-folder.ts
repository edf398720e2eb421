/**
 * Entries in a season's `cache/columns`: one JSON index and some Parquet files each. An entry counts only when all of it is as it
 * was written: format, key, the index's own SHA-256 and that of every table. Everything else is as if it were not there.
 */
import { createHash } from 'node:crypto';
import { readFile, realpath } from 'node:fs/promises';
import { join } from 'node:path';
import { partPathOf, removeLeftParts } from '../durable-write.ts';
import type { FileLayer } from '../file-layer.ts';
import { generatedBy } from '../program-version.ts';
import { type CachedTable, joinTree, splitTree } from './column-tree.ts';
import { parquetBytes, readParquetTable } from './parquet-table.ts';

export const CACHE_FOLDER = 'cache/columns';
/** Raised whenever entries are written in another way. */
const FORMAT = 'sheaflight-cache/1';

interface Index {
  readonly format: string;
  readonly key: string;
  readonly program: string;
  readonly tables: readonly { readonly name: string; readonly sha256: string }[];
  readonly document: unknown;
}

export class CacheFolder {
  readonly #season: string;
  readonly #layer: FileLayer;

  /** `season` is the real path of a season folder. */
  constructor(season: string, layer: FileLayer) {
    this.#season = season;
    this.#layer = layer;
  }

  /** What was written under that name and key; undefined when it is not there or not whole. */
  async read(name: string, key: string): Promise<unknown> {
    try {
      const index = JSON.parse(checked(await readFile(this.#path(`${name}.json`), 'utf8'))) as Index;
      if (index.format !== FORMAT || index.key !== key) return undefined;
      const tables = new Map<string, CachedTable>();
      for (const { name: table, sha256 } of index.tables) {
        const read = await readParquetTable(table, this.#path(tableFile(name, table)));
        if (read.sha256 !== sha256) return undefined;
        tables.set(table, read.table);
      }
      return joinTree(index.document, tables);
    } catch {
      return undefined;
    }
  }

  /** Writes an entry; its index last, so that a half-written one does not count. Throws with Node's code when the disk refuses. */
  async write(name: string, key: string, entry: unknown): Promise<void> {
    // a season that was moved or removed meanwhile must not come back as an empty folder
    if (!(await this.#layer.isFolder(this.#season)))
      throw Object.assign(new Error('gone'), { code: 'ENOENT' });
    await this.#layer.makeFolder(join(this.#season, CACHE_FOLDER));
    await this.#mustBeInside();
    const { json, tables } = splitTree(entry);
    const written: Index['tables'][number][] = [];
    for (const table of tables) {
      if (table.rows === 0) continue;
      const bytes = parquetBytes(table, { format: FORMAT, key, program: generatedBy() });
      await this.#put(tableFile(name, table.name), bytes);
      written.push({ name: table.name, sha256: sha256Of(bytes) });
    }
    const index: Index = { format: FORMAT, key, program: generatedBy(), tables: written, document: json };
    await this.#put(`${name}.json`, new TextEncoder().encode(withChecksum(JSON.stringify(index))));
  }

  /** Removes all entries but these, and what killed processes have left. */
  async keepOnly(names: ReadonlySet<string>): Promise<void> {
    const folder = join(this.#season, CACHE_FOLDER);
    await this.#mustBeInside();
    await removeLeftParts(folder, this.#layer);
    for (const file of await this.#layer.namesIn(folder))
      if (!names.has(file.slice(0, file.indexOf('.'))) && /\.(json|parquet)$/.test(file))
        await this.#layer.remove(join(folder, file));
  }

  #path(file: string): string {
    return join(this.#season, CACHE_FOLDER, file);
  }

  /** A cache that is a link to somewhere else is not ours to write to. */
  async #mustBeInside(): Promise<void> {
    const folder = join(this.#season, CACHE_FOLDER);
    if ((await realpath(folder)) !== folder)
      throw Object.assign(new Error('the cache is a link'), { code: 'ELOOP' });
  }

  /** Not flushed: after a power cut the checksum tells what is whole. */
  async #put(file: string, bytes: Uint8Array): Promise<void> {
    const path = this.#path(file);
    const part = partPathOf(path);
    try {
      const handle = await this.#layer.openForWriting(part);
      try {
        await handle.write(bytes);
      } finally {
        await handle.close();
      }
      await this.#layer.rename(part, path);
    } catch (caught) {
      await this.#layer.remove(part).catch(() => undefined);
      throw caught;
    }
  }
}

function tableFile(entry: string, table: string): string {
  return `${entry}.${table}.parquet`;
}

function sha256Of(bytes: Uint8Array | string): string {
  return createHash('sha256').update(bytes).digest('hex');
}

const BEFORE = '{"sha256":"';
const BETWEEN = '","index":';

/** The JSON `{"sha256": …, "index": …}`, the hash being that of the index's text. */
function withChecksum(index: string): string {
  return `${BEFORE}${sha256Of(index)}${BETWEEN}${index}}\n`;
}

/** The text of the index. Throws when it is not as it was written. */
function checked(text: string): string {
  const from = BEFORE.length + 64 + BETWEEN.length;
  const index = text.slice(from, -2);
  if (text !== withChecksum(index)) throw new RangeError('the index is not as it was written');
  return index;
}
