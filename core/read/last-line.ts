/** The last line of a log, to know it when it comes again at once: loggers write buffers twice. */
import { LINE_LIMIT_BYTES } from './line-splitter.ts';

export class LastLine {
  readonly #copy = new Uint8Array(LINE_LIMIT_BYTES);
  /** Where the line stands: in the chunk that it came with, or in the copy. */
  #bytes: Uint8Array = this.#copy;
  #start = 0;
  #end = 0;

  /** Whether `bytes[start..end)` is the last line again. From the end, where lines of one kind differ. */
  is(bytes: Uint8Array, start: number, end: number): boolean {
    if (this.#end - this.#start !== end - start || start === end) return false;
    const last = this.#bytes;
    for (let i = end - 1, k = this.#end - 1; i >= start; i--, k--) if (bytes[i] !== last[k]) return false;
    return true;
  }

  /** Notes a line where it stands; `keep` before its bytes change. */
  note(bytes: Uint8Array, start: number, end: number): void {
    this.#bytes = bytes;
    this.#start = start;
    this.#end = end;
  }

  /** Takes a copy of the line. */
  keep(): void {
    if (this.#bytes === this.#copy) return;
    this.#copy.set(this.#bytes.subarray(this.#start, this.#end));
    this.note(this.#copy, 0, this.#end - this.#start);
  }

  /** No line is the last one: after a line of another kind. */
  forget(): void {
    this.#end = this.#start;
  }
}
