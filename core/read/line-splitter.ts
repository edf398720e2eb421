/** Lines of a byte stream that comes in chunks: line ends, runs of NUL bytes, lines far too long, a cut last line. */
import type { DamageTally } from './damage.ts';

/** Whether a line ended in a line end or with the file. */
export type LineState = 'whole' | 'cut';

export interface LineConsumer {
  /**
   * Called where a line begins: may read any number of whole lines of `bytes` from `from` on by itself, which it adds to
   * `LineSplitter.lines`; returns where the first line begins that it leaves to the splitter.
   */
  readAhead(bytes: Uint8Array, from: number): number;
  /** One line `bytes[start..end)` without its LF. `LineSplitter.lines` is its number. */
  readLine(bytes: Uint8Array, start: number, end: number, state: LineState): void;
}

/** Longer lines are skipped without being kept; the longest line of a tick log has some 100 bytes. */
export const LINE_LIMIT_BYTES = 4096;
const NUL = 0;
const LF = 10;

export class LineSplitter {
  /** Lines begun and ended so far, the one being read included. */
  lines = 0;
  readonly #damage: DamageTally;
  readonly #consumer: LineConsumer;
  /** The line begun in the chunk before. */
  readonly #carry = new Uint8Array(LINE_LIMIT_BYTES);
  #carried = 0;
  #skipping = false;
  #inNuls = false;

  constructor(damage: DamageTally, consumer: LineConsumer) {
    this.#damage = damage;
    this.#consumer = consumer;
  }

  push(bytes: Uint8Array): void {
    let at = 0;
    // looked for once past the place where it was found, or a run of NULs would take its length squared
    let end = -1;
    while (at < bytes.length) {
      if (this.#carried === 0 && !this.#skipping) {
        const next = this.#consumer.readAhead(bytes, at);
        if (next > at) this.#inNuls = false;
        at = next;
      }
      if (end < at) end = lineEnd(bytes, at);
      at = this.#readSegment(bytes, at, nulOrEnd(bytes, at, end), end);
    }
  }

  finish(): void {
    if (this.#carried === 0 && !this.#skipping) return;
    this.lines++;
    if (this.#carried > 0) this.#consumer.readLine(this.#carry, 0, this.#carried, 'cut');
  }

  /** Reads up to and with the next NUL (at `nul`) or line end (at `end`); keeps the piece when the chunk ends before. */
  #readSegment(bytes: Uint8Array, start: number, nul: number, end: number): number {
    if (nul < end && !this.#skipping) {
      if (nul > start) this.#inNuls = false;
      this.#keep(bytes, start, nul);
      if (!this.#skipping) this.#breakLine();
      let next = nul + 1;
      while (bytes[next] === NUL) next++;
      return next;
    }
    if (end > start || end < bytes.length) this.#inNuls = false;
    if (end === bytes.length) this.#keep(bytes, start, end);
    else this.#endLine(bytes, start, end);
    return end + 1;
  }

  /** A line that NULs break off is lost; what stands after them is looked at as a line of its own. */
  #breakLine(): void {
    if (!this.#inNuls) this.#damage.add('nul_bytes', this.lines + 1);
    this.#inNuls = true;
    this.#carried = 0;
  }

  #endLine(bytes: Uint8Array, start: number, end: number): void {
    const inPlace = this.#carried === 0 && end - start <= LINE_LIMIT_BYTES;
    if (!inPlace) this.#keep(bytes, start, end);
    this.lines++;
    if (this.#skipping) this.#skipping = false;
    else if (inPlace) this.#consumer.readLine(bytes, start, end, 'whole');
    else this.#consumer.readLine(this.#carry, 0, this.#carried, 'whole');
    this.#carried = 0;
  }

  #keep(bytes: Uint8Array, start: number, end: number): void {
    if (this.#skipping) return;
    if (this.#carried + end - start > LINE_LIMIT_BYTES) {
      this.#damage.add('line_too_long', this.lines + 1);
      this.#skipping = true;
      this.#carried = 0;
      return;
    }
    this.#carry.set(bytes.subarray(start, end), this.#carried);
    this.#carried += end - start;
  }
}

function lineEnd(bytes: Uint8Array, from: number): number {
  const index = bytes.indexOf(LF, from);
  return index < 0 ? bytes.length : index;
}

/** The first NUL from `from` on and before `end`, else the end of the bytes. */
function nulOrEnd(bytes: Uint8Array, from: number, end: number): number {
  for (let at = from; at < end; at++) if (bytes[at] === NUL) return at;
  return bytes.length;
}
