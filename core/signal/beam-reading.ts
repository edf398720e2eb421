/**
 * One run's edges → its paddles, while the edges come: thresholds of chatter and the beam's polarity are found in the run's
 * first million edges (all of them, in a logger that starts anew every day), then every edge is reduced and forgotten.
 */
import type { BeamEdges, BeamExtent } from '../read/logger-run.ts';
import type { BeamReader } from '../read/run-columns.ts';
import { type BeamUnevenness, type Polarity, polarityOf, unevennessOf } from './beam-polarity.ts';
import { estimateChatter } from './chatter.ts';
import { type PaddleReading, PaddleReducer } from './paddles.ts';

/** Thresholds of chatter that the user entered, ms; what is absent is found in the log. */
export interface EnteredChatter {
  readonly bridge_lit_ms?: number;
  readonly drop_dark_ms?: number;
}

/** What the edges of one run came to. */
export interface BeamReading extends BeamExtent {
  readonly unevenness: BeamUnevenness;
  /** Paddles by polarity: that of the run, or both where a run of less than half a day cannot tell by itself. */
  readonly paddles: Readonly<Partial<Record<Polarity, PaddleReading>>>;
}

const NO_EDGES: BeamEdges = { tick_us: new Float64Array(), dark: new Uint8Array() };

export class BeamReducer implements BeamReader<BeamReading> {
  readonly #entered: EnteredChatter;
  #edges = 0;
  #first_us = Number.NaN;
  #last_us = Number.NaN;
  #unevenness = unevennessOf(NO_EDGES);
  #reducers: { readonly polarity: Polarity; readonly reducer: PaddleReducer }[] = [];

  constructor(entered: EnteredChatter = {}) {
    this.#entered = entered;
  }

  take(tick_us: Float64Array, dark: Uint8Array, count: number): void {
    if (count === 0) return;
    if (this.#edges === 0) {
      this.#first_us = tick_us[0];
      this.#begin({ tick_us: tick_us.subarray(0, count), dark: dark.subarray(0, count) });
    } else if (this.#reducers.length > 1) {
      this.#reducers.pop();
    }
    for (const { reducer } of this.#reducers) reducer.take(tick_us, dark, count);
    this.#edges += count;
    this.#last_us = tick_us[count - 1];
  }

  finish(): BeamReading {
    if (this.#edges === 0) this.#begin(NO_EDGES);
    return {
      edges: this.#edges,
      first_us: this.#first_us,
      last_us: this.#last_us,
      unevenness: this.#unevenness,
      paddles: Object.fromEntries(
        this.#reducers.map(({ polarity, reducer }) => [polarity, reducer.finish()]),
      ),
    };
  }

  #begin(edges: BeamEdges): void {
    this.#unevenness = unevennessOf(edges);
    const told = polarityOf([this.#unevenness]);
    // a run that cannot tell is read both ways; a long one like most beams
    const polarities: readonly Polarity[] = told === undefined ? ['as_logged', 'inverted'] : [told];
    this.#reducers = polarities.map((polarity) => {
      const seen = polarity === 'as_logged' ? edges : invertedEdges(edges);
      return { polarity, reducer: new PaddleReducer(estimateChatter(seen, this.#entered), polarity) };
    });
  }
}

/** The same edges with dark and lit exchanged. */
function invertedEdges({ tick_us, dark }: BeamEdges): BeamEdges {
  return { tick_us, dark: dark.map((state) => 1 - state) };
}
