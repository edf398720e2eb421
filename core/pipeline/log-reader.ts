/**
 * A logger's file → what it holds, while its bytes come: recognised by its beginning, edges reduced to paddles as they are
 * read. Memory is that of the reduced log, whatever the size of the file.
 */
import { type DataError, failure, type Result, success } from '../errors.ts';
import { runsBackwards } from '../read/backwards.ts';
import type { LoggerRun, TallyReading, TickLogReading } from '../read/logger-run.ts';
import { HEAD_LENGTH, recogniseFile } from '../read/recognise.ts';
import { RunColumns } from '../read/run-columns.ts';
import { readTallyLog } from '../read/tally-log.ts';
import { createTickLogReader, type TickLogReader } from '../read/tick-log.ts';
import type { Season } from '../season.ts';
import { type BeamReading, BeamReducer, type EnteredChatter } from '../signal/beam-reading.ts';

/** What a logger's file holds. */
export type LogReading =
  | { readonly kind: 'runs'; readonly reading: TickLogReading<BeamReading> }
  | { readonly kind: 'tallies'; readonly reading: TallyReading };

export interface LogReader {
  /** The next bytes of the (unpacked) file, in chunks of any size. The chunk is not kept. */
  push(bytes: Uint8Array): void;
  /** Ends the file; fails as its reader does. */
  finish(): Result<LogReading>;
}

/** What of a season's settings decides how logs are read. */
export function chatterOf({ settings }: Season): EnteredChatter {
  const { bridge_lit_ms, drop_dark_ms } = settings?.signal ?? {};
  return { bridge_lit_ms, drop_dark_ms };
}

export function createLogReader(path: string, chatter: EnteredChatter): LogReader {
  return new RecognisedLog(path, chatter);
}

/** Reads a whole file. */
export function readLog(path: string, bytes: Uint8Array, chatter: EnteredChatter): Result<LogReading> {
  const reader = createLogReader(path, chatter);
  reader.push(bytes);
  return reader.finish();
}

class RecognisedLog implements LogReader {
  readonly #path: string;
  readonly #chatter: EnteredChatter;
  /** Bytes before the kind is known, and all those of a tally log. */
  #pieces: Uint8Array[] = [];
  #kept = 0;
  #kind: 'runs' | 'tallies' | undefined;
  #runs: TickLogReader<LoggerRun<BeamReading>> | undefined;

  constructor(path: string, chatter: EnteredChatter) {
    this.#path = path;
    this.#chatter = chatter;
  }

  push(bytes: Uint8Array): void {
    if (this.#runs !== undefined) {
      this.#runs.push(bytes);
      return;
    }
    this.#kept += bytes.length;
    if (this.#kind === 'tallies' && this.#kept > MOST_TALLY_BYTES) this.#pieces = [];
    else this.#pieces.push(bytes.slice());
    if (this.#kind === undefined && this.#kept >= HEAD_LENGTH) this.#recognise();
  }

  finish(): Result<LogReading> {
    if (this.#kind === undefined) this.#recognise();
    if (this.#runs === undefined) {
      if (this.#kept > MOST_TALLY_BYTES) return failure(tooLarge(this.#path));
      const tallies = readTallyLog(asciiText(this.#pieces), this.#path);
      return tallies.ok ? success({ kind: 'tallies', reading: tallies.value }, tallies.notices) : tallies;
    }
    const runs = this.#runs.finish();
    if (!runs.ok) return runs;
    const backwards = runsBackwards(this.#path, runs.value);
    if (backwards !== undefined) return failure(backwards);
    return success({ kind: 'runs', reading: runs.value }, runs.notices);
  }

  #recognise(): void {
    const head = new Uint8Array(this.#kept);
    let at = 0;
    for (const piece of this.#pieces) {
      head.set(piece, at);
      at += piece.length;
    }
    this.#kind =
      recogniseFile(this.#path, head.subarray(0, HEAD_LENGTH)).kind === 'tally_log' ? 'tallies' : 'runs';
    if (this.#kind === 'tallies') return;
    this.#runs = createTickLogReader(
      this.#path,
      (damage) => new RunColumns(damage, new BeamReducer(this.#chatter)),
    );
    this.#runs.push(head);
    this.#pieces = [];
  }
}

/** A row a second for half a year of days; a tally log is read as one text, and longer ones no engine holds. */
const MOST_TALLY_BYTES = 400 * 2 ** 20;

function tooLarge(source: string): DataError {
  const text = `${source} is larger than ${MOST_TALLY_BYTES / 2 ** 20} MB, more than a tally log may have; split it into several files and list them one after the other.`;
  return { code: 'text_too_large', source, text };
}

/** Tally logs are plain ASCII; bytes beyond it become the character of the same number. */
function asciiText(pieces: readonly Uint8Array[]): string {
  const CHUNK = 8192;
  const text: string[] = [];
  for (const piece of pieces) {
    for (let at = 0; at < piece.length; at += CHUNK)
      text.push(String.fromCharCode(...piece.subarray(at, at + CHUNK)));
  }
  return text.join('');
}
