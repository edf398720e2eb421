/** A short log on the disk, `.gz` or not, read for the beam check. */
import { type FileHandle, open } from 'node:fs/promises';
import { basename } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { createFirstLogReader, type FirstLog } from '../../core/install/first-log.ts';
import { codeOf } from './file-layer.ts';
import { Unpacker } from './unpacker.ts';

const PIECE_BYTES = 1 << 18;

export async function readFirstLogFile(path: string): Promise<Result<FirstLog>> {
  try {
    const handle = await open(path, 'r');
    try {
      return await readFirstLogPieces(basename(path), piecesOf(handle));
    } finally {
      await handle.close();
    }
  } catch (caught) {
    return failure(unreadable(caught, path));
  }
}

/** A log as it comes in, `.gz` or not; `name` is what findings call it. Pieces are not kept. */
export async function readFirstLogPieces(
  name: string,
  pieces: AsyncIterable<Uint8Array>,
): Promise<Result<FirstLog>> {
  const reader = createFirstLogReader(name);
  const unpacker = new Unpacker(name, (piece) => reader.push(piece));
  for await (const piece of pieces) await unpacker.push(piece);
  const unpacked = await unpacker.finish();
  if (!unpacked.ok) return unpacked;
  const read = reader.finish();
  return read.ok ? success(read.value, [...unpacked.notices, ...read.notices]) : read;
}

async function* piecesOf(handle: FileHandle): AsyncGenerator<Uint8Array> {
  const piece = new Uint8Array(PIECE_BYTES);
  for (;;) {
    const { bytesRead } = await handle.read(piece, 0, PIECE_BYTES);
    if (bytesRead === 0) return;
    yield piece.subarray(0, bytesRead);
  }
}

/** Throws `caught` on when it is no answer of the system: then it is a mistake of ours. */
function unreadable(caught: unknown, path: string): DataError {
  const code = codeOf(caught);
  if (code === '') throw caught;
  const why =
    code === 'ENOENT'
      ? 'no such file; check its name'
      : code === 'EISDIR'
        ? 'that is a folder; give the log itself'
        : `the system answered ${code}; check that you may read it`;
  return { code: 'cannot_read', source: path, text: `${path}: ${why}.` };
}
