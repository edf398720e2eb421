/** Bytes of a file as they come, unpacked where they are compressed: a log need never stand in memory whole. */
import { createGunzip, type Gunzip } from 'node:zlib';
import { failure, type Result, success } from '../../core/errors.ts';

/** How far compressed files may grow. */
export interface GunzipBounds {
  /** Times the size on disk. Tick logs shrink 4 to 12 times; a thousand times is a file made to fill the memory. */
  readonly most_times: number;
  /** Bytes that are allowed whatever the ratio. */
  readonly free_bytes: number;
  /** Bytes that are never exceeded. */
  readonly most_bytes: number;
}

export const GUNZIP_BOUNDS: GunzipBounds = { most_times: 200, free_bytes: 64 << 20, most_bytes: 2 ** 31 - 1 };

/** Pieces in which unpacked bytes are handed on. */
const PIECE_BYTES = 1 << 18;

export class Unpacker {
  readonly #name: string;
  readonly #take: (piece: Uint8Array) => void;
  readonly #bounds: GunzipBounds;
  #gunzip: Gunzip | undefined;
  #begun = false;
  #packed = 0;
  #unpacked = 0;
  #fault: 'damaged' | 'too_large' | undefined;

  /** `name` is what sentences call the file; `take` is handed its bytes, each piece for the time of the call. */
  constructor(name: string, take: (piece: Uint8Array) => void, bounds: GunzipBounds = GUNZIP_BOUNDS) {
    this.#name = name;
    this.#take = take;
    this.#bounds = bounds;
  }

  /** The next bytes of the file as it lies on the disk. They may be used again when the promise is kept. */
  async push(piece: Uint8Array): Promise<void> {
    if (!this.#begun) {
      this.#begun = true;
      if (piece[0] === 0x1f && piece[1] === 0x8b) this.#gunzip = this.#opened();
    }
    this.#packed += piece.length;
    const stream = this.#gunzip;
    if (stream === undefined) this.#take(piece);
    else if (this.#fault === undefined) {
      await new Promise<void>((resolve) => {
        stream.once('close', resolve);
        stream.write(piece, () => {
          stream.off('close', resolve);
          resolve();
        });
      });
    }
  }

  /**
   * Ends the file. Compressed bytes that are cut off or damaged have given what stands before the damage, with a notice;
   * fails where that is nothing, or where they grow beyond the bounds (then what was taken is not to be used).
   */
  async finish(): Promise<Result<null>> {
    const stream = this.#gunzip;
    if (stream !== undefined && this.#fault === undefined) {
      await new Promise<void>((resolve) => {
        stream.once('close', resolve);
        stream.once('end', resolve);
        stream.end();
      });
    }
    stream?.destroy();
    return this.#fault === undefined ? success(null) : this.#judged(this.#fault);
  }

  #opened(): Gunzip {
    return createGunzip({ chunkSize: PIECE_BYTES })
      .on('data', (piece: Buffer) => {
        this.#unpacked += piece.length;
        if (this.#unpacked > this.#mostBytes()) this.#fault ??= 'too_large';
        if (this.#fault === undefined) this.#take(piece);
        else this.#gunzip?.destroy();
      })
      .on('error', () => {
        this.#fault ??= 'damaged';
      });
  }

  #mostBytes(): number {
    const { most_times, free_bytes, most_bytes } = this.#bounds;
    return Math.min(most_bytes, Math.max(free_bytes, this.#packed * most_times));
  }

  #judged(fault: 'damaged' | 'too_large'): Result<null> {
    const name = this.#name;
    if (fault === 'too_large') {
      const text = `${name} unpacks to more than ${Math.round(this.#mostBytes() / 2 ** 20)} MB, far more than a log of its size can; it was not read. Is it a log?`;
      return failure({ code: 'cannot_unpack', source: name, text });
    }
    if (this.#unpacked === 0) {
      const text = `${name} cannot be unpacked: it is damaged from its beginning. Copy it again from the logger.`;
      return failure({ code: 'cannot_unpack', source: name, text });
    }
    const text = `${name} is cut off or damaged: what stands before that was unpacked, the rest is missing. Copy it again from the logger if you can.`;
    return success(null, [{ code: 'damaged_gzip', severity: 'look', source: name, count: 1, text }]);
  }
}
