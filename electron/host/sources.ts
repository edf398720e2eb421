/** Reads everything that a season sheet lists, once: bytes, texts and what identifies each file. */
import { createHash } from 'node:crypto';
import { createGunzip, gunzipSync } from 'node:zlib';
import type { DataError, Notice } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { SeasonSources } from '../../core/pipeline.ts';
import { codeOf } from './file-layer.ts';
import { type OpenSeason, readInside } from './season-folder.ts';
import { decodeTextFile } from './text-decoding.ts';

/** How far compressed logs may grow. */
export interface GunzipBounds {
  /** Times the size on disk. Tick logs shrink 4 to 12 times; a thousand times is a file made to fill the memory. */
  readonly most_times: number;
  /** Bytes that are allowed whatever the ratio. */
  readonly free_bytes: number;
  /** Bytes that are never exceeded. */
  readonly most_bytes: number;
}

export const GUNZIP_BOUNDS: GunzipBounds = { most_times: 200, free_bytes: 64 << 20, most_bytes: 2 ** 31 - 1 };

/**
 * Reads logs (decompressed), tickets and boundaries of a season. Every missing or unreadable file is named: the
 * first as the error, the others as notices of severity `mend`.
 */
export async function readSources(open: OpenSeason, bounds = GUNZIP_BOUNDS): Promise<Result<SeasonSources>> {
  const logs = new Map<string, Uint8Array>();
  const texts = new Map<string, string>();
  const hashes = new Map<string, string>();
  const notices: Notice[] = [];
  const errors: DataError[] = [];
  for (const wanted of listedFiles(open)) {
    const read = await readInside(open.folder, wanted.path);
    if (!read.ok) {
      errors.push(read.error);
      continue;
    }
    hashes.set(wanted.path, createHash('sha256').update(read.value).digest('hex'));
    const plain = await decompressed(read.value, wanted.path, bounds);
    notices.push(...plain.notices);
    if (!plain.ok) errors.push(plain.error);
    else if (wanted.kind === 'log') logs.set(wanted.path, plain.value);
    else {
      const decoded = textOf(plain.value, wanted.path);
      notices.push(...decoded.notices);
      if (decoded.ok) texts.set(wanted.path, decoded.value);
      else errors.push(decoded.error);
    }
  }
  if (errors.length > 0) {
    const more = errors.slice(1).map((error): Notice => ({ ...error, severity: 'mend', count: 1 }));
    return failure(errors[0], [...more, ...notices]);
  }
  return success({ logs, texts, hashes }, notices);
}

interface ListedFile {
  readonly path: string;
  /** Logs that are read through a column mapping are text. */
  readonly kind: 'log' | 'text';
}

function listedFiles({ season }: OpenSeason): ListedFile[] {
  const files = new Map<string, ListedFile>();
  for (const log of season.logs) {
    for (const path of log.files) files.set(path, { path, kind: log.mapping === undefined ? 'log' : 'text' });
  }
  for (const path of season.tickets ?? []) files.set(path, { path, kind: 'text' });
  for (const { boundary } of season.fields)
    if (boundary !== undefined) files.set(boundary, { path: boundary, kind: 'text' });
  return [...files.values()];
}

async function decompressed(
  bytes: Uint8Array,
  path: string,
  bounds: GunzipBounds,
): Promise<Result<Uint8Array>> {
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) return success(bytes);
  const maxOutputLength = Math.min(
    bounds.most_bytes,
    Math.max(bounds.free_bytes, bytes.length * bounds.most_times),
  );
  try {
    return success(gunzipSync(bytes, { maxOutputLength }));
  } catch (caught) {
    return salvaged(bytes, path, maxOutputLength, caught);
  }
}

/** What can still be had of a compressed file that does not unpack cleanly: all that stands before the damage. */
async function salvaged(
  bytes: Uint8Array,
  path: string,
  maxOutputLength: number,
  caught: unknown,
): Promise<Result<Uint8Array>> {
  if (codeOf(caught) === 'ERR_BUFFER_TOO_LARGE') {
    const text = `${path} unpacks to more than ${Math.round(maxOutputLength / 2 ** 20)} MB, far more than a log of its size can; it was not read. Is it a log?`;
    return failure({ code: 'cannot_unpack', source: path, text });
  }
  const start = await unpackedBeforeDamage(bytes);
  if (start.length === 0) {
    const text = `${path} cannot be unpacked: it is damaged from its beginning. Copy it again from the logger.`;
    return failure({ code: 'cannot_unpack', source: path, text });
  }
  const text = `${path} is cut off or damaged: what stands before that was unpacked, the rest is missing. Copy it again from the logger if you can.`;
  return success(start, [{ code: 'damaged_gzip', severity: 'look', source: path, count: 1, text }]);
}

/** A strict unpacking has met the damage within the size bound, so that this cannot outgrow it. */
function unpackedBeforeDamage(bytes: Uint8Array): Promise<Uint8Array> {
  return new Promise((resolve) => {
    const pieces: Buffer[] = [];
    const done = () => resolve(Buffer.concat(pieces));
    createGunzip()
      .on('data', (piece: Buffer) => pieces.push(piece))
      .on('end', done)
      .on('error', done)
      .end(bytes);
  });
}

function textOf(bytes: Uint8Array, path: string): Result<string> {
  const decoded = decodeTextFile(bytes, path);
  if (!decoded.ok) return decoded;
  const { text, encoding } = decoded.value;
  if (encoding !== 'windows-1252') return success(text);
  const sentence = `${path} is not UTF-8; it was read as Windows-1252. Check names with accents.`;
  return success(text, [
    { code: 'guessed_encoding', severity: 'info', source: path, count: 1, text: sentence },
  ]);
}
