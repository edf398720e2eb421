/** SHA-256 on a thread of its own: the pieces are shared with it, not copied, and come back when they are hashed. */
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { programFolder } from './program-version.ts';

export type HashOrder = { readonly kind: 'piece'; readonly piece: Uint8Array } | { readonly kind: 'end' };

export type HashNews =
  | { readonly kind: 'hashed'; readonly piece: Uint8Array }
  | { readonly kind: 'ended'; readonly sha256: string };

/** Pieces that may wait to be hashed before no more is read. */
const PIECES = 4;

export class ThreadHash {
  readonly #worker = new Worker(join(programFolder(), 'dist', 'electron', 'host', 'hash-worker.js'));
  readonly #free: Uint8Array[];
  /** What is waited for: a piece, or the end. */
  #onNews: () => void = () => undefined;
  #sha256: string | undefined;
  #fault: unknown;

  constructor(pieceBytes: number) {
    this.#free = Array.from({ length: PIECES }, () => new Uint8Array(new SharedArrayBuffer(pieceBytes)));
    this.#worker.on('message', (news: HashNews) => {
      if (news.kind === 'ended') this.#sha256 = news.sha256;
      else this.#free.push(new Uint8Array(news.piece.buffer));
      this.#onNews();
    });
    this.#worker.on('error', (caught) => {
      this.#fault = caught;
      this.#onNews();
    });
  }

  /** A piece to read into, once one is hashed. */
  async room(): Promise<Uint8Array> {
    await this.#until(() => this.#free.length > 0);
    return this.#free.pop() as Uint8Array;
  }

  /** Hashes what was read into a piece from `room`; it may be looked at, but not written to, from now on. */
  update(filled: Uint8Array): void {
    const order: HashOrder = { kind: 'piece', piece: filled };
    this.#worker.postMessage(order);
  }

  /** 64 hex digits, once all pieces are hashed. */
  async digest(): Promise<string> {
    const order: HashOrder = { kind: 'end' };
    this.#worker.postMessage(order);
    await this.#until(() => this.#sha256 !== undefined);
    return this.#sha256 as string;
  }

  async close(): Promise<void> {
    await this.#worker.terminate();
  }

  async #until(isSo: () => boolean): Promise<void> {
    while (!isSo()) {
      if (this.#fault !== undefined) throw this.#fault;
      await new Promise<void>((resolve) => {
        this.#onNews = resolve;
      });
    }
  }
}
