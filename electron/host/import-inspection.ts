/** Looks into files on the disk: hashed, unpacked and inspected in one reading, whatever their length. */
import { readFile } from 'node:fs/promises';
import { extname } from 'node:path';
import { createGunzip, type Gunzip } from 'node:zlib';
import { failure, type Notice, type Result, success } from '../../core/errors.ts';
import type { FileInspection } from '../../core/import/file-inspection.ts';
import { createFileInspector, type InspectionOptions, inspectFile } from '../../core/import/inspect-file.ts';
import type { ColumnMappingSheet } from '../../core/season.ts';
import { shownText } from '../../core/shown-text.ts';
import { type FileHash, hashFile } from './file-hash.ts';
import { codeOf } from './file-layer.ts';
import {
  geojsonFromShapefile,
  isShapefile,
  isZip,
  MOST_SHAPEFILE_BYTES,
  type ShapefileParts,
  shapefileInZip,
} from './shapefile.ts';
import { decodeText } from './text-decoding.ts';
import { GUNZIP_BOUNDS } from './unpacker.ts';

export interface InspectedFile extends FileHash {
  readonly inspection: FileInspection;
}

export interface InspectionWish {
  readonly mappings: readonly ColumnMappingSheet[];
  readonly mapping?: ColumnMappingSheet;
  /** Other parts of a Shapefile. */
  readonly parts?: readonly string[];
  readonly shouldStop?: () => boolean;
  /** Bytes read since the last call. */
  readonly onRead?: (bytes: number) => void;
}

/** What looks into files: `inspectPath` itself, or threads that do the same. */
export type Inspector = (path: string, name: string, wish: InspectionWish) => Promise<Result<InspectedFile>>;

/** Inspects the file at `path`; `name` is what its notices call it. Fails with `cannot_read` or `cancelled` only. */
export const inspectPath: Inspector = async (path, name, wish) => {
  const options: InspectionOptions = {
    decode: (bytes) => decodeText(bytes).text,
    mappings: wish.mappings,
    ...(wish.mapping === undefined ? {} : { mapping: wish.mapping }),
  };
  const reader = new PackedReader(name, options);
  try {
    const hash = await hashFile(path, async (piece) => {
      if (wish.shouldStop?.()) throw Object.assign(new Error('stopped'), { code: 'STOPPED' });
      await reader.push(piece);
      wish.onRead?.(piece.length);
    });
    const read = await reader.finish();
    const kept =
      reader.isBinary && hash.bytes <= MOST_SHAPEFILE_BYTES
        ? await asShapefile(path, name, wish, options)
        : undefined;
    return success({ ...hash, inspection: kept ?? read });
  } catch (caught) {
    const code = codeOf(caught);
    if (code === '') throw caught;
    return failure(readError(name, code));
  }
};

const STOPPED = 'STOPPED';

function readError(name: string, code: string) {
  if (code === STOPPED) return { code: 'cancelled', source: name, text: 'Stopped; nothing was imported.' };
  const causes: Readonly<Record<string, string>> = {
    ENOENT: 'it is not there any more; is the stick still connected?',
    EACCES: 'you may not read it; change its permissions.',
    EPERM: 'you may not read it; change its permissions.',
    EIO: 'the disk or stick has a read error; copy it again from where it came.',
    ENODEV: 'the stick was taken out; connect it again.',
  };
  return {
    code: 'cannot_read',
    source: name,
    text: `${shownText(name)} cannot be read: ${causes[code] ?? `the system answered ${code}.`}`,
  };
}

/** A Shapefile, zipped or bare, as the GeoJSON that it holds; undefined when the file is neither. */
async function asShapefile(
  path: string,
  name: string,
  { parts }: InspectionWish,
  options: InspectionOptions,
): Promise<FileInspection | undefined> {
  const bytes = await readFile(path);
  if (!isZip(bytes) && !isShapefile(bytes)) return undefined;
  const zipped = isZip(bytes) ? await shapefileInZip(bytes, name) : undefined;
  const refused = (error: { code: string; source: string; text: string }): FileInspection => ({
    ...inspectFile(name, new Uint8Array(), options),
    kind: zipped?.ok === false ? 'unknown' : 'boundary',
    reason: zipped === undefined ? `${shownText(name)} is a Shapefile.` : `${shownText(name)} is a zip.`,
    error,
  });
  if (zipped?.ok === false) return refused(zipped.error);
  const geojson = await geojsonFromShapefile(
    zipped?.value.parts ?? (await looseParts(bytes, parts ?? [])),
    name,
  );
  if (!geojson.ok) return refused(geojson.error);
  const reason =
    zipped === undefined
      ? 'It is a Shapefile.'
      : `It is a zipped Shapefile (${shownText(zipped.value.stem)}).`;
  return inspectFile(name, new TextEncoder().encode(geojson.value), {
    ...options,
    recognised: { kind: 'boundary', reason },
    converted: true,
  });
}

async function looseParts(shp: Uint8Array, paths: readonly string[]): Promise<ShapefileParts> {
  const parts = new Map([['shp', shp]]);
  for (const path of paths) {
    const bytes = await readFile(path);
    if (bytes.length <= MOST_SHAPEFILE_BYTES) parts.set(extname(path).slice(1).toLowerCase(), bytes);
  }
  return parts;
}

/** Feeds the inspector, unpacking gzip on the way; damage of the packing ends the file where it is met. */
class PackedReader {
  readonly #name: string;
  readonly #inspector;
  #gunzip: Gunzip | undefined;
  #begun = false;
  #fault: 'damaged' | 'bomb' | undefined;
  #packed = 0;
  #unpacked = 0;
  /** Whether the first bytes are those of a zip or a Shapefile. */
  isBinary = false;

  constructor(name: string, options: InspectionOptions) {
    this.#name = name;
    this.#inspector = createFileInspector(name, options);
  }

  async push(piece: Uint8Array): Promise<void> {
    if (!this.#begun) {
      this.#begun = true;
      this.isBinary = isZip(piece) || isShapefile(piece);
      if (piece[0] === 0x1f && piece[1] === 0x8b) this.#gunzip = this.#unpacker();
    }
    if (this.#gunzip === undefined) {
      this.#inspector.push(piece);
      return;
    }
    this.#packed += piece.length;
    if (this.#fault !== undefined) return;
    const stream = this.#gunzip;
    // a copy, as the piece is used again before the stream has read it
    await new Promise<void>((resolve) => {
      stream.once('error', () => resolve());
      stream.write(piece.slice(), () => resolve());
    });
  }

  async finish(): Promise<FileInspection> {
    const stream = this.#gunzip;
    if (stream !== undefined && this.#fault === undefined) {
      await new Promise<void>((resolve) => {
        stream.once('end', () => resolve()).once('error', () => resolve());
        stream.end();
      });
    }
    stream?.destroy();
    const inspection = this.#inspector.finish();
    if (this.#fault === undefined) return inspection;
    return this.#fault === 'bomb' ? this.#refused(inspection) : this.#salvaged(inspection);
  }

  #unpacker(): Gunzip {
    return createGunzip()
      .on('data', (piece: Buffer) => {
        this.#unpacked += piece.length;
        if (this.#unpacked > this.#most()) this.#fault ??= 'bomb';
        if (this.#fault === undefined) this.#inspector.push(piece);
      })
      .on('error', () => {
        this.#fault ??= 'damaged';
      });
  }

  /** Bytes that so much of a packed file may become. */
  #most(): number {
    const { most_times, free_bytes, most_bytes } = GUNZIP_BOUNDS;
    return Math.min(most_bytes, Math.max(free_bytes, this.#packed * most_times));
  }

  #refused(inspection: FileInspection): FileInspection {
    const text = `${shownText(this.#name)} unpacks to far more than a log of its size can; it was not read. Is it a log?`;
    return {
      ...inspection,
      content: { kind: 'none' },
      error: { code: 'cannot_unpack', source: this.#name, text },
    };
  }

  #salvaged(inspection: FileInspection): FileInspection {
    if (this.#unpacked === 0) {
      const text = `${shownText(this.#name)} cannot be unpacked: it is damaged from its beginning. Copy it again from the logger.`;
      return { ...inspection, error: { code: 'cannot_unpack', source: this.#name, text } };
    }
    const text = `${shownText(this.#name)} is cut off or damaged: what stands before that was unpacked, the rest is missing. Copy it again from the logger if you can.`;
    const notice: Notice = { code: 'damaged_gzip', severity: 'look', source: this.#name, count: 1, text };
    return { ...inspection, notices: [notice, ...inspection.notices] };
  }
}
