/** SHA-256 of a file, read piece by piece; the next piece comes while the one before is looked at. */
import { createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { ThreadHash } from './thread-hash.ts';

/** Bytes read at a time: few enough to keep memory flat, enough to keep a disk busy. */
const PIECE_BYTES = 1 << 20;
/** From this size on a file is worth a thread that hashes it. A choice of ours. */
const THREADED_BYTES = 32 << 20;

export interface FileHash {
  /** 64 hex digits. */
  readonly sha256: string;
  readonly bytes: number;
}

/** Takes pieces in turn; a piece is handed out again once it is hashed. */
interface PieceHash {
  room(): Promise<Uint8Array>;
  update(filled: Uint8Array): void;
  digest(): Promise<string>;
  close(): Promise<void>;
}

/** Hashes `path`, and hands every piece to `onPiece` on the way; the piece is used again afterwards. */
export async function hashFile(
  path: string,
  onPiece?: (piece: Uint8Array) => Promise<void> | void,
): Promise<FileHash> {
  const handle = await open(path, 'r');
  try {
    const { size } = await handle.stat();
    const isWorthAThread = onPiece !== undefined && size >= THREADED_BYTES;
    const hash = isWorthAThread ? new ThreadHash(PIECE_BYTES) : new OwnHash(Math.min(size + 1, PIECE_BYTES));
    try {
      const bytes = await readThrough(handle, hash, onPiece ?? (() => undefined));
      return { sha256: await hash.digest(), bytes };
    } finally {
      await hash.close();
    }
  } finally {
    await handle.close();
  }
}

/** All bytes of the file into the hash and to `onPiece`; how many there were. */
async function readThrough(
  handle: FileHandle,
  hash: PieceHash,
  onPiece: (piece: Uint8Array) => Promise<void> | void,
): Promise<number> {
  let bytes = 0;
  let next = nextPiece(handle, await hash.room());
  try {
    for (let filled = await next; filled.length > 0; filled = await next) {
      // the room comes first: once this piece is hashed it counts as free, though it is still looked at
      next = nextPiece(handle, await hash.room());
      hash.update(filled);
      await onPiece(filled);
      bytes += filled.length;
    }
  } finally {
    // the file is not closed under a reading
    await next.catch(() => undefined);
  }
  return bytes;
}

function nextPiece(handle: FileHandle, room: Uint8Array): Promise<Uint8Array> {
  const piece = handle.read(room, 0, room.length).then(({ bytesRead }) => room.subarray(0, bytesRead));
  // a fault that comes before it is waited for is no fault without a taker
  piece.catch(() => undefined);
  return piece;
}

/** Hashes on this thread; one piece is looked at, the other read. */
class OwnHash implements PieceHash {
  readonly #hash = createHash('sha256');
  readonly #rooms: readonly [Uint8Array, Uint8Array];
  #turn: 0 | 1 = 0;

  constructor(pieceBytes: number) {
    this.#rooms = [new Uint8Array(pieceBytes), new Uint8Array(pieceBytes)];
  }

  async room(): Promise<Uint8Array> {
    this.#turn = this.#turn === 0 ? 1 : 0;
    return this.#rooms[this.#turn];
  }

  update(filled: Uint8Array): void {
    this.#hash.update(filled);
  }

  async digest(): Promise<string> {
    return this.#hash.digest('hex');
  }

  async close(): Promise<void> {}
}
