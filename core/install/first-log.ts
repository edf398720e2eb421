/**
 * A short log as the beam check reads it: every edge kept, and every sentence noted, for what a season's reader mends in
 * silence (flicker, positions told twice) is what is looked for here.
 */
import { type Damage, type Result, success } from '../errors.ts';
import type { DamageTally } from '../read/damage.ts';
import type { BeamExtent, LoggerRun } from '../read/logger-run.ts';
import { type BeamReader, RunColumns, type RunSink, type TickPayload } from '../read/run-columns.ts';
import { createTickLogReader } from '../read/tick-log.ts';

/** Edges as logged. */
export interface RawBeam extends BeamExtent {
  readonly tick_us: Float64Array;
  readonly dark: Uint8Array;
}

/** Sentences of one run, one row each. */
export interface SentenceColumns {
  readonly tick_us: Float64Array;
  /** Seconds since midnight as told; NaN where the sentence tells none. */
  readonly clock_s: Float64Array;
  /** 1 where a sentence of the same kind had told the same moment before. */
  readonly repeats: Uint8Array;
}

export interface FirstRun {
  readonly run: LoggerRun<RawBeam>;
  readonly sentences: SentenceColumns;
}

export interface FirstLog {
  readonly source: string;
  readonly runs: readonly FirstRun[];
  readonly lines: number;
  readonly damage: readonly Damage[];
}

/** Edges looked at; half a day of running, and a check wants minutes. */
const MOST_EDGES = 1_000_000;

export interface FirstLogReader {
  /** The next (unpacked) bytes, in chunks of any size. The chunk is not kept. */
  push(bytes: Uint8Array): void;
  /** Ends the file; fails as the tick-log reader does. */
  finish(): Result<FirstLog>;
}

export function createFirstLogReader(source: string): FirstLogReader {
  const reader = createTickLogReader(source, (damage) => new FirstRunSink(damage));
  return {
    push: (bytes) => reader.push(bytes),
    finish: () => {
      const read = reader.finish();
      return read.ok ? success({ source, ...read.value }, read.notices) : read;
    },
  };
}

/** Reads a whole log. */
export function readFirstLog(source: string, bytes: Uint8Array): Result<FirstLog> {
  const reader = createFirstLogReader(source);
  reader.push(bytes);
  return reader.finish();
}

class EdgeKeeper implements BeamReader<RawBeam> {
  readonly #tick_us: number[] = [];
  readonly #dark: number[] = [];

  take(tick_us: Float64Array, dark: Uint8Array, count: number): void {
    for (let i = 0; i < count && this.#dark.length < MOST_EDGES; i++) {
      this.#tick_us.push(tick_us[i]);
      this.#dark.push(dark[i]);
    }
  }

  finish(): RawBeam {
    return {
      edges: this.#dark.length,
      first_us: this.#tick_us[0] ?? Number.NaN,
      last_us: this.#tick_us[this.#tick_us.length - 1] ?? Number.NaN,
      tick_us: Float64Array.from(this.#tick_us),
      dark: Uint8Array.from(this.#dark),
    };
  }
}

class FirstRunSink implements RunSink<FirstRun> {
  readonly #columns: RunColumns<RawBeam>;
  readonly #tick_us: number[] = [];
  readonly #clock_s: number[] = [];
  readonly #repeats: number[] = [];
  readonly #lastOfType = new Map<string, number>();

  constructor(damage: DamageTally) {
    this.#columns = new RunColumns(damage, new EdgeKeeper());
  }

  addEdge(tick_us: number, dark: number, line: number): void {
    this.#columns.addEdge(tick_us, dark, line);
  }

  addPayload(tick_us: number, payload: TickPayload, line: number): void {
    if (payload.kind === 'sentence') {
      const { type, time_of_day_s } = payload.sentence;
      this.#tick_us.push(tick_us);
      this.#clock_s.push(time_of_day_s);
      this.#repeats.push(type !== 'GSA' && this.#lastOfType.get(type) === time_of_day_s ? 1 : 0);
      this.#lastOfType.set(type, time_of_day_s);
    }
    this.#columns.addPayload(tick_us, payload, line);
  }

  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    return this.#columns.insertEdge(tick_us, dark);
  }

  finish(source: string): FirstRun {
    return {
      run: this.#columns.finish(source),
      sentences: {
        tick_us: Float64Array.from(this.#tick_us),
        clock_s: Float64Array.from(this.#clock_s),
        repeats: Uint8Array.from(this.#repeats),
      },
    };
  }
}
