/** SHA-256 of a file, read piece by piece. */
import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';

/** Bytes read at a time: few enough to keep memory flat, enough to keep a disk busy. */
const PIECE_BYTES = 1 << 20;

export interface FileHash {
  /** 64 hex digits. */
  readonly sha256: string;
  readonly bytes: number;
}

/** Hashes `path`, and hands every piece to `onPiece` on the way; the piece is used again afterwards. */
export async function hashFile(
  path: string,
  onPiece: (piece: Uint8Array) => Promise<void> | void = () => undefined,
): Promise<FileHash> {
  const hash = createHash('sha256');
  const piece = new Uint8Array(PIECE_BYTES);
  let bytes = 0;
  const handle = await open(path, 'r');
  try {
    for (;;) {
      const { bytesRead } = await handle.read(piece, 0, PIECE_BYTES);
      if (bytesRead === 0) break;
      const filled = piece.subarray(0, bytesRead);
      hash.update(filled);
      await onPiece(filled);
      bytes += bytesRead;
    }
  } finally {
    await handle.close();
  }
  return { sha256: hash.digest('hex'), bytes };
}
