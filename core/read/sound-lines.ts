/**
 * The fast lane of the tick log: beam edges and sentences as a sound logger writes them, nearly all lines of nearly all
 * logs, read in one go over their bytes. At the first line that is anything else it stops, and leaves that line to the reader
 * that knows all forms and all damage.
 */
import type { DamageTally } from './damage.ts';
import type { LastLine } from './last-line.ts';
import { LINE_LIMIT_BYTES } from './line-splitter.ts';
import type { NmeaParser } from './nmea.ts';
import type { TickPayload } from './run-columns.ts';
import type { TickOrder } from './tick-order.ts';

/** Counters of more digits are run-together lines: 16 digits of microseconds are 317 years. */
export const TICK_DIGITS = 16;
const HALF_DIGITS = TICK_DIGITS / 2;
const POWERS_OF_TEN = [1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8];
/** Bytes that a beam-edge line may take: counter, comma, state, CR LF. */
const EDGE_LINE_BYTES = TICK_DIGITS + 4;
/** Edges handed on at a time. */
const BATCH_EDGES = 1024;
const LF = 10;
const CR = 13;
const DOLLAR = 36;
const COMMA = 44;
const ZERO = 48;
/** No line of that form. */
const OTHER = -1;

/** Where lines go, and the tallies of both forms. */
export interface LineTakers<R> {
  readonly order: TickOrder<R>;
  /** Takes sentences without a counter. */
  readonly bare: { addPayload(tick_us: number, payload: TickPayload, line: number): void };
  readonly nmea: NmeaParser;
  readonly damage: DamageTally;
  readonly last: LastLine;
  /** Lines with a counter, and sentences without: how many, and the first one's number. */
  readonly tickedLines: LineTally;
  readonly bareLines: LineTally;
}

export interface LineTally {
  count: number;
  first: number;
}

export class SoundLines<R> {
  readonly #to: LineTakers<R>;
  readonly #tick_us = new Float64Array(BATCH_EDGES);
  readonly #dark = new Uint8Array(BATCH_EDGES);
  #edges = 0;
  /** Lines read so far, those included that others have read. */
  lines = 0;

  constructor(to: LineTakers<R>) {
    this.#to = to;
  }

  /** Reads sound lines from `from` on, where line `lines` + 1 begins; returns where the first other line begins. */
  read(bytes: Uint8Array, from: number, lines: number): number {
    this.lines = lines;
    const limit = bytes.length - EDGE_LINE_BYTES;
    let at = from;
    while (at < limit) {
      // two integers of eight digits each: a double a digit would be waited for digit by digit
      let p = at;
      let high = 0;
      for (const end = at + HALF_DIGITS; p < end; p++) {
        const digit = bytes[p] - ZERO;
        if (digit < 0 || digit > 9) break;
        high = (high * 10 + digit) | 0;
      }
      let low = 0;
      for (const end = at + TICK_DIGITS; p < end; p++) {
        const digit = bytes[p] - ZERO;
        if (digit < 0 || digit > 9) break;
        low = (low * 10 + digit) | 0;
      }
      const more = p - at - HALF_DIGITS;
      const tick_us = more > 0 ? high * POWERS_OF_TEN[more] + low : high;
      const isTicked = p > at && bytes[p] === COMMA && tick_us <= Number.MAX_SAFE_INTEGER;
      const state = bytes[p + 1] - ZERO;
      let next = OTHER;
      if (isTicked && (state === 0 || state === 1)) next = this.#edge(bytes, p + 2, tick_us, state);
      else if (isTicked && bytes[p + 1] === DOLLAR) next = this.#sentence(bytes, at, p + 1, tick_us);
      else if (bytes[at] === DOLLAR) next = this.#sentence(bytes, at, at, Number.NaN);
      if (next === OTHER) break;
      at = next;
    }
    this.#handOn();
    this.#to.last.keep();
    return at;
  }

  /** Notes the edge whose line ends at `end`; returns where the next one begins, or `OTHER`. */
  #edge(bytes: Uint8Array, end: number, tick_us: number, state: number): number {
    const lineEnd = bytes[end] === CR ? end + 1 : end;
    if (bytes[lineEnd] !== LF) return OTHER;
    if (this.#edges === BATCH_EDGES) this.#handOn();
    this.#tick_us[this.#edges] = tick_us;
    this.#dark[this.#edges++] = state;
    this.lines++;
    return lineEnd + 1;
  }

  /** Hands on the edges that wait. */
  #handOn(): void {
    if (this.#edges === 0) return;
    const { order, tickedLines, last } = this.#to;
    const first = this.lines - this.#edges + 1;
    order.addEdges(this.#tick_us, this.#dark, this.#edges, first);
    if (tickedLines.count === 0) tickedLines.first = first;
    tickedLines.count += this.#edges;
    this.#edges = 0;
    last.forget();
  }

  /** Reads the line at `at` with a sentence at `dollar`; returns where the next one begins, or `OTHER`. */
  #sentence(bytes: Uint8Array, at: number, dollar: number, tick_us: number): number {
    const { order, bare, nmea, damage, last, tickedLines, bareLines } = this.#to;
    const end = nmea.find(bytes, dollar, Math.min(bytes.length - 2, at + LINE_LIMIT_BYTES));
    const lineEnd = bytes[end] === CR ? end + 1 : end;
    if (end < 0 || bytes[lineEnd] !== LF) return OTHER;
    this.#handOn();
    if (last.is(bytes, at, end)) return OTHER;
    const sentence = nmea.parseFound(bytes, dollar);
    const line = this.lines + 1;
    if (sentence === 'skipped_sentence') damage.add(sentence, line);
    else if (typeof sentence === 'string') return OTHER;
    else if (dollar === at) bare.addPayload(tick_us, { kind: 'sentence', sentence }, line);
    else order.addPayload(tick_us, { kind: 'sentence', sentence }, line);
    const tally = dollar === at ? bareLines : tickedLines;
    if (tally.count++ === 0) tally.first = line;
    last.note(bytes, at, end);
    this.lines = line;
    return lineEnd + 1;
  }
}
