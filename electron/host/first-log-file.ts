/** A short log on the disk, `.gz` or not, read for the beam check. */
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { createFirstLogReader, type FirstLog } from '../../core/install/first-log.ts';
import { codeOf } from './file-layer.ts';
import { Unpacker } from './unpacker.ts';

const PIECE_BYTES = 1 << 18;

export async function readFirstLogFile(path: string): Promise<Result<FirstLog>> {
  const reader = createFirstLogReader(basename(path));
  const unpacker = new Unpacker(basename(path), (piece) => reader.push(piece));
  try {
    const handle = await open(path, 'r');
    try {
      const piece = new Uint8Array(PIECE_BYTES);
      for (;;) {
        const { bytesRead } = await handle.read(piece, 0, PIECE_BYTES);
        if (bytesRead === 0) break;
        await unpacker.push(piece.subarray(0, bytesRead));
      }
    } finally {
      await handle.close();
    }
  } catch (caught) {
    return failure(unreadable(caught, path));
  }
  const unpacked = await unpacker.finish();
  if (!unpacked.ok) return unpacked;
  const read = reader.finish();
  return read.ok ? success(read.value, [...unpacked.notices, ...read.notices]) : read;
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
