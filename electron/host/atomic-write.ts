/**
 * Writes a set of files so that a reader sees all of the new ones or all of the old ones: every file goes to a part
 * file in the same folder, is flushed to the disk, and only when all are complete are they renamed into place.
 */
import { basename, dirname, join } from 'node:path';
import type { DataError } from '../../core/errors.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import { codeOf, diskLayer, type FileLayer } from './file-layer.ts';

/** What a file is written from: text or bytes. */
export type FilePieces = Iterable<string | Uint8Array> | AsyncIterable<string | Uint8Array>;

/** One file to be written: its name in the folder, and what is in it, made as it is needed. */
export interface FileToWrite {
  /** May lead into folders of the folder, with `/` between; they are made. */
  readonly name: string;
  readonly pieces: FilePieces;
}

export interface TextToWrite extends FileToWrite {
  readonly pieces: Iterable<string>;
}

export interface WrittenFile {
  readonly path: string;
  readonly bytes: number;
}

/** How it is written: on which disk, and what can stop it. */
export interface WritingOptions {
  readonly layer?: FileLayer;
  /** Aborted: part files are removed, and nothing changes. */
  readonly signal?: AbortSignal;
}

/** Pieces are joined to about this many characters or bytes before they go to the disk. */
const WRITE_LENGTH = 1 << 20;

/**
 * Writes `files` into `folder` (made when it is not there). On failure (disk full, no permission, stopped …) the
 * answer is one sentence, no part file stays, and files that were there before are unchanged.
 */
export async function writeFiles(
  folder: string,
  files: readonly FileToWrite[],
  options: WritingOptions = {},
): Promise<Result<WrittenFile[]>> {
  const layer = options.layer ?? diskLayer;
  const parts: string[] = [];
  const written: WrittenFile[] = [];
  let name = '';
  try {
    const folders = new Set([folder, ...files.map((file) => dirname(placeOf(folder, file)))]);
    for (const one of folders) {
      await layer.makeFolder(one);
      await removeAbandonedParts(one, layer);
    }
    for (const file of files) {
      name = file.name;
      const path = placeOf(folder, file);
      if (await layer.isFolder(path)) throw Object.assign(new Error(), { code: 'EISDIR' });
      const part = join(dirname(path), partName(basename(path)));
      parts.push(part);
      written.push({ path, bytes: await writePart(part, file, layer, options.signal) });
    }
    for (const [index, file] of files.entries()) {
      name = file.name;
      await layer.rename(parts[index], written[index].path);
    }
    return success(written);
  } catch (caught) {
    for (const part of parts) await layer.remove(part).catch(() => undefined);
    return failure(writeError(caught, folder, name));
  }
}

/** The same file; `tell` is called when its turn to be written comes. */
export function toldFile({ name, pieces }: FileToWrite, tell: () => void): FileToWrite {
  return {
    name,
    pieces: (async function* () {
      tell();
      yield* pieces;
    })(),
  };
}

/** Throws RangeError for a name that would leave the folder. */
function placeOf(folder: string, { name }: FileToWrite): string {
  const steps = name.split('/');
  if (steps.some((step) => step === '' || step === '.' || step === '..'))
    throw new RangeError(`"${name}" is no name for a file inside a folder`);
  return join(folder, ...steps);
}

async function writePart(
  path: string,
  file: FileToWrite,
  layer: FileLayer,
  signal?: AbortSignal,
): Promise<number> {
  const handle = await layer.openForWriting(path);
  let bytes = 0;
  let waiting: (string | Uint8Array)[] = [];
  let length = 0;
  const flush = async () => {
    if (signal?.aborted) throw Object.assign(new Error(), { code: 'STOPPED' });
    const block = blockOf(waiting);
    await handle.write(block);
    bytes += block.length;
    waiting = [];
    length = 0;
  };
  try {
    for await (const piece of file.pieces) {
      waiting.push(piece);
      length += piece.length;
      if (length >= WRITE_LENGTH) await flush();
    }
    await flush();
    await handle.sync();
  } finally {
    await handle.close();
  }
  return bytes;
}

/** Texts as UTF-8. */
function blockOf(pieces: readonly (string | Uint8Array)[]): Uint8Array {
  const encoder = new TextEncoder();
  if (pieces.every((piece) => typeof piece === 'string')) return encoder.encode(pieces.join(''));
  return Buffer.concat(pieces.map((piece) => (typeof piece === 'string' ? encoder.encode(piece) : piece)));
}

/** `.points.geojson.1234.part`: hidden, and it names the process that will finish it. */
function partName(name: string): string {
  return `.${name}.${process.pid}.part`;
}

/** Part files of a process that no longer lives were left by a power cut or a kill; no one will finish them. */
async function removeAbandonedParts(folder: string, layer: FileLayer): Promise<void> {
  for (const name of await layer.namesIn(folder)) {
    const owner = /^\..+\.(\d+)\.part$/.exec(name)?.[1];
    if (owner !== undefined && !isAlive(Number(owner))) await layer.remove(join(folder, name));
  }
}

function isAlive(processId: number): boolean {
  try {
    process.kill(processId, 0);
    return true;
  } catch (caught) {
    return codeOf(caught) === 'EPERM';
  }
}

/** What each of the system's codes means to someone who waits for a file, and how to mend it. */
const WRITE_CAUSES: Readonly<Record<string, string>> = {
  ENOSPC: 'the disk is full; free some space or write to another folder',
  EDQUOT: 'your share of the disk is used up; free some space or write to another folder',
  EACCES: 'you may not write there; write to another folder or change its permissions',
  EPERM: 'you may not write there; write to another folder or change its permissions',
  EROFS: 'the disk can only be read; write to another folder',
  EISDIR: 'a folder of that name stands there; move it away or write to another folder',
  ENOTDIR: 'a part of the path is a file, not a folder; write to another folder',
  EEXIST: 'a file of that name stands where the folder should be; write to another folder',
  ENOENT: 'the system does not let a folder be made there; write to another folder',
  EBUSY: 'another program holds the file open; close it there and run again',
  ENAMETOOLONG: 'the path is too long; write to a folder with a shorter one',
  EFBIG: 'the disk cannot hold a file that large; write to another folder',
};

function writeError(caught: unknown, folder: string, name: string): DataError {
  const code = codeOf(caught);
  if (code === 'STOPPED') {
    const text = 'stopped; nothing half-written was left, and earlier files are as they were.';
    return { code: 'stopped', source: folder, text };
  }
  const cause = WRITE_CAUSES[code];
  if (cause === undefined && code === '') throw caught;
  const what = name === '' ? `the folder ${folder}` : `${name} in ${folder}`;
  const text = `could not write ${what}: ${cause ?? `the system answered ${code}`}. Nothing half-written was left, and earlier files are as they were.`;
  return { code: 'cannot_write', source: folder, text };
}
