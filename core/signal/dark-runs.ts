/** Edges → dark runs without chatter: lit gaps that are too short are bridged, dark blips that are too short dropped. */
import type { ChatterSolution } from './chatter.ts';

/** Takes dark runs in time order. */
export interface DarkRunSink {
  /** A dark run that ended at the counter `trailing_us` and lasted `dark_us`, bridged gaps included; NaN where an edge is lost. */
  add(trailing_us: number, dark_us: number): void;
}

export class DarkRuns {
  bridged = 0;
  dropped = 0;
  readonly #sink: DarkRunSink;
  readonly #bridge_us: number;
  readonly #drop_us: number;
  /** State of the beam that counts as dark: 1, or 0 where it is logged inverted. */
  readonly #darkState: 0 | 1;
  /** Open dark run: its first edge (NaN while none is open) and its last dark→lit edge (NaN while still dark). */
  #start_us = Number.NaN;
  #end_us = Number.NaN;
  #broken = false;
  #state = -1;

  constructor(chatter: ChatterSolution, polarity: 'as_logged' | 'inverted', sink: DarkRunSink) {
    this.#sink = sink;
    this.#bridge_us = chatter.bridge_lit_s * 1e6;
    this.#drop_us = chatter.drop_dark_s * 1e6;
    this.#darkState = polarity === 'as_logged' ? 1 : 0;
  }

  /** The next `count` edges, in counter order. */
  take(tick_us: Float64Array, dark: Uint8Array, count: number): void {
    for (let i = 0; i < count; i++) {
      const repeated = dark[i] === this.#state;
      this.#state = dark[i];
      if (dark[i] === this.#darkState) this.#darken(tick_us[i], repeated);
      else this.#lighten(tick_us[i], repeated);
    }
  }

  /** Closes the run that is open; after it nothing may be taken. */
  finish(): void {
    this.#close();
  }

  #darken(tick_us: number, repeated: boolean): void {
    const open = !Number.isNaN(this.#start_us);
    if (open && !Number.isNaN(this.#end_us) && tick_us - this.#end_us < this.#bridge_us) {
      this.bridged++;
      this.#end_us = Number.NaN;
      return;
    }
    this.#close();
    // dark again without a lit edge between: where the first paddle ended is lost
    if (open && repeated) this.#broken = true;
    else this.#start_us = tick_us;
  }

  #lighten(tick_us: number, repeated: boolean): void {
    if (repeated) {
      // lit again without a dark edge between: the paddle passed, but its start is lost
      this.#close();
      this.#start_us = tick_us;
      this.#end_us = tick_us;
      this.#broken = true;
    } else if (!Number.isNaN(this.#start_us)) {
      this.#end_us = tick_us;
    }
  }

  #close(): void {
    if (Number.isNaN(this.#start_us) || Number.isNaN(this.#end_us)) return;
    const dark_us = this.#end_us - this.#start_us;
    if (this.#broken) this.#sink.add(this.#end_us, Number.NaN);
    else if (dark_us < this.#drop_us) this.dropped++;
    else this.#sink.add(this.#end_us, dark_us);
    this.#start_us = Number.NaN;
    this.#end_us = Number.NaN;
    this.#broken = false;
  }
}
