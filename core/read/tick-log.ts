/**
 * The tick log, straight from its bytes: `<tick_us>,<payload>` lines, bare beam edges with a `t_us,beam` header, and
 * bare NMEA files are all one grammar.
 *
 * Sound edges and sentences take a fast lane; other lines are found first, then parsed. Lines may be cut anywhere between
 * two chunks. Memory beyond what becomes of the runs is one line.
 */
import { failure, type Result, success } from '../errors.ts';
import { DamageTally, noticesFromDamage } from './damage.ts';
import { binaryKind } from './file-signature.ts';
import { LastLine } from './last-line.ts';
import { type LineConsumer, LineSplitter, type LineState } from './line-splitter.ts';
import type { TickLogReading } from './logger-run.ts';
import { NmeaParser } from './nmea.ts';
import type { RunSink, RunStart } from './run-columns.ts';
import { SoundLines, TICK_DIGITS } from './sound-lines.ts';
import { TickOrder } from './tick-order.ts';
import { parseTickPayload } from './tick-payload.ts';

/** What came of a tick log whose runs were made into `R`s. */
export type TickLogOf<R> = Omit<TickLogReading<unknown>, 'runs'> & { readonly runs: readonly R[] };

export interface TickLogReader<R> {
  /** The next bytes of the file, in chunks of any size. The chunk is not kept. */
  push(bytes: Uint8Array): void;
  /**
   * Ends the file. Fails with `empty_file`, `not_a_log` (a photo, an archive …) or `no_readable_line`. A last line
   * without line end counts when it is whole, and as `truncated_last_line` when it is not.
   */
  finish(): Result<TickLogOf<R>>;
}

/** `source` is the file's name for notices and runs; `startRun` makes what takes the lines of each run. */
export function createTickLogReader<R>(source: string, startRun: RunStart<R>): TickLogReader<R> {
  return new TickLogLines(source, startRun);
}

/** Lines of one form among more than a hundred times as many of the other are damage, not a log. A choice of ours. */
const ODD_SHARE = 0.01;
/** So much of the file's beginning is kept, to say what it is when nothing in it can be read. */
const HEAD_BYTES = 1024;
const TAB = 9;
const CR = 13;
const SPACE = 32;
const COMMA = 44;
const ZERO = 48;
const BYTE_ORDER_MARK = [0xef, 0xbb, 0xbf];

class TickLogLines<R> implements TickLogReader<R>, LineConsumer {
  readonly #source: string;
  readonly #damage = new DamageTally();
  readonly #order: TickOrder<R>;
  readonly #nmea = new NmeaParser();
  /** Sentences without a counter. */
  readonly #bare: RunSink<R>;
  readonly #tickedLines = { count: 0, first: 0 };
  readonly #bareLines = { count: 0, first: 0 };
  #finished = false;
  #bytes = 0;
  readonly #splitter: LineSplitter;
  readonly #last = new LastLine();
  readonly #sound: SoundLines<R>;
  /** Whether the place of a header line is past: it comes first, or looks exactly like the one that did. */
  #begun = false;
  #header = '';
  readonly #head = new Uint8Array(HEAD_BYTES);

  constructor(source: string, startRun: RunStart<R>) {
    this.#source = source;
    this.#order = new TickOrder(source, this.#damage, startRun);
    this.#bare = startRun(this.#damage);
    this.#sound = new SoundLines({
      order: this.#order,
      bare: this.#bare,
      nmea: this.#nmea,
      damage: this.#damage,
      last: this.#last,
      tickedLines: this.#tickedLines,
      bareLines: this.#bareLines,
    });
    this.#splitter = new LineSplitter(this.#damage, this);
  }

  push(bytes: Uint8Array): void {
    if (this.#finished) throw new RangeError(`${this.#source}: bytes came after the end of the file.`);
    if (this.#bytes < HEAD_BYTES) {
      this.#head.set(bytes.subarray(0, HEAD_BYTES - this.#bytes), this.#bytes);
    }
    this.#bytes += bytes.length;
    this.#splitter.push(bytes);
  }

  finish(): Result<TickLogOf<R>> {
    if (this.#finished) throw new RangeError(`${this.#source}: the end of the file came twice.`);
    this.#finished = true;
    this.#splitter.finish();
    const runs = this.#runs();
    const damage = this.#damage.toDamage();
    const { lines } = this.#splitter;
    const notices = noticesFromDamage(this.#source, damage, lines);
    if (this.#tickedLines.count + this.#bareLines.count === 0) return failure(this.#nothingRead(), notices);
    return success({ runs, lines, damage }, notices);
  }

  /** The runs, without the odd lines that only look like the other form: counters cut off, or digits left over. */
  #runs(): R[] {
    const { count: ticked, first: firstTicked } = this.#tickedLines;
    const { count: bare, first: firstBare } = this.#bareLines;
    const runs: R[] = [];
    if (ticked > ODD_SHARE * bare) runs.push(...this.#order.finish());
    else if (ticked > 0) this.#damage.add('unreadable_line', firstTicked, ticked);
    if (bare > ODD_SHARE * ticked) runs.push(this.#bare.finish(this.#source));
    else if (bare > 0) this.#damage.add('unreadable_line', firstBare, bare);
    return runs;
  }

  readAhead(bytes: Uint8Array, from: number): number {
    const next = this.#sound.read(bytes, from, this.#splitter.lines);
    if (next > from) this.#begun = true;
    this.#splitter.lines = this.#sound.lines;
    return next;
  }

  #addEdge(tick_us: number, dark: number): void {
    if (this.#tickedLines.count++ === 0) this.#tickedLines.first = this.#splitter.lines;
    this.#last.forget();
    this.#order.addEdge(tick_us, dark, this.#splitter.lines);
  }

  readLine(bytes: Uint8Array, from: number, to: number, state: LineState): void {
    let start = from;
    let end = to;
    if (this.#splitter.lines === 1 && BYTE_ORDER_MARK.every((byte, i) => bytes[start + i] === byte))
      start += 3;
    while (end > start && isBlank(bytes[end - 1])) end--;
    while (start < end && isBlank(bytes[start])) start++;
    if (start === end || bytes[start] === 0x23) return;
    if (this.#last.is(bytes, start, end)) {
      this.#damage.add('repeated_line', this.#splitter.lines);
      return;
    }
    this.#last.note(bytes, start, end);
    this.#last.keep();
    const first = bytes[start];
    if (isLetter(first) && this.#isHeader(bytes, start, end)) return;
    this.#begun = true;
    if (first === 0x24) this.#readBare(bytes, start, end, state);
    else this.#readTicked(bytes, start, end, state);
  }

  #readTicked(bytes: Uint8Array, start: number, end: number, state: LineState): void {
    let tick_us = 0;
    let p = start;
    while (p < end && bytes[p] >= ZERO && bytes[p] <= ZERO + 9) tick_us = tick_us * 10 + bytes[p++] - ZERO;
    const counted = p > start && p - start <= TICK_DIGITS && tick_us <= Number.MAX_SAFE_INTEGER;
    while (p < end && isBlank(bytes[p])) p++;
    if (!counted || p >= end || bytes[p] !== COMMA) {
      this.#damage.add(state === 'cut' ? 'truncated_last_line' : 'unreadable_line', this.#splitter.lines);
      return;
    }
    do p++;
    while (p < end && isBlank(bytes[p]));
    if (end - p === 1 && (bytes[p] === ZERO || bytes[p] === ZERO + 1)) {
      this.#addEdge(tick_us, bytes[p] - ZERO);
      return;
    }
    const payload = parseTickPayload(bytes, p, end, this.#nmea);
    // a number that ends with the file may have lost digits: 14.5 would be read as 1
    const cutNumber = state === 'cut' && (bytes[p] === 0x4d || bytes[p] === 0x54);
    const readable = payload === 'skipped_sentence' || (typeof payload !== 'string' && !cutNumber);
    if (readable && this.#tickedLines.count++ === 0) this.#tickedLines.first = this.#splitter.lines;
    if (typeof payload !== 'string' && !cutNumber) {
      this.#order.addPayload(tick_us, payload, this.#splitter.lines);
    } else {
      const cut = (state === 'cut' && !readable) || typeof payload !== 'string';
      this.#damage.add(cut ? 'truncated_last_line' : payload, this.#splitter.lines);
    }
  }

  #readBare(bytes: Uint8Array, start: number, end: number, state: LineState): void {
    const sentence = this.#nmea.parse(bytes, start, end);
    const readable = typeof sentence !== 'string' || sentence === 'skipped_sentence';
    if (readable && this.#bareLines.count++ === 0) this.#bareLines.first = this.#splitter.lines;
    if (typeof sentence !== 'string') {
      this.#bare.addPayload(Number.NaN, { kind: 'sentence', sentence }, this.#splitter.lines);
    } else {
      this.#damage.add(state === 'cut' && !readable ? 'truncated_last_line' : sentence, this.#splitter.lines);
    }
  }

  #isHeader(bytes: Uint8Array, start: number, end: number): boolean {
    const text = String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 100)));
    if (this.#begun) return text === this.#header;
    this.#begun = true;
    this.#header = text;
    return true;
  }

  #nothingRead(): { code: string; source: string; text: string } {
    const source = this.#source;
    if (this.#bytes === 0) {
      const text = `${source} is empty (0 bytes); copy it from the logger again.`;
      return { code: 'empty_file', source, text };
    }
    const what = binaryKind(this.#head.subarray(0, Math.min(this.#bytes, HEAD_BYTES)));
    if (what) {
      const text = `${source} is not a logger file: it looks like ${what}.`;
      return { code: 'not_a_log', source, text };
    }
    if (this.#splitter.lines === 0) {
      const text = `${source} is full of NUL bytes and holds no line: the logger lost power before it wrote, or the copy failed; copy it from the logger again.`;
      return { code: 'no_readable_line', source, text };
    }
    const text = `${source}: none of its ${this.#splitter.lines} lines is a line of a tick log (such as "1234567,1" or "1234567,$GPGGA,…") or an NMEA sentence; give a logger file, or read it through a column mapping.`;
    return { code: 'no_readable_line', source, text };
  }
}

function isBlank(byte: number): boolean {
  return byte === SPACE || byte === TAB || byte === CR;
}

function isLetter(byte: number): boolean {
  return (byte >= 65 && byte <= 90) || (byte >= 97 && byte <= 122) || byte === 0x22 || byte === 0x5f;
}
