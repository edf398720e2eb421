/**
 * Edges → paddles.
 *
 * Going up, the top of the heap reaches the beam first and the paddle's underside leaves it last: the dark→lit edge
 * belongs to steel and is the clock; the lit→dark edge belongs to grain. A paddle's period T runs from the trailing edge
 * of the one before to its own; its dark fraction is D = dark time / T, independent of chain speed.
 *
 * Missed, extra and stopped are judged against the running median of the periods. A file or restart begins a new spell.
 * Edges are taken as they come and forgotten: of a season's edges no more than a block stands in memory.
 */
import type { ChatterSolution } from './chatter.ts';
import { type DarkRunSink, DarkRuns } from './dark-runs.ts';
import { PaddleBuilder, type PaddleColumns } from './paddle-columns.ts';
import { PeriodWindow } from './period-window.ts';

export interface PaddleCounts {
  readonly paddles: number;
  readonly lit_gaps_bridged: number;
  readonly dark_blips_dropped: number;
  readonly missed: number;
  readonly extra: number;
  /** Paddles whose dark time a lost edge hides. */
  readonly hidden: number;
  readonly spells: number;
}

export interface PaddleReading {
  /** Thresholds with which it was read. */
  readonly chatter: ChatterSolution;
  readonly paddles: PaddleColumns;
  readonly counts: PaddleCounts;
}

/** A gap of so many running periods is a stopped elevator, not missed paddles. */
const STOP_PERIODS = 4.5;
/** So are steps that their column cannot hold, µs: more than an hour. */
const LONGEST_STEP_US = 2 ** 32 - 1;
/** A period shorter than this share of the running one is no paddle of its own. */
const EXTRA_SHARE = 0.45;
/** Two short periods that make less than this many running ones are one whole period. */
const WHOLE_SHARE = 1.35;
/** From this many running periods on a period is that of more than one paddle. */
const TWO_PADDLES = 1.5;

/** Takes the edges of one run, block by block in counter order. Fewer than two trailing edges give an empty result. */
export class PaddleReducer {
  readonly #chatter: ChatterSolution;
  readonly #darkRuns: DarkRuns;
  readonly #merger: ExtraMerger;
  readonly #counter = new SlotCounter();

  constructor(chatter: ChatterSolution, polarity: 'as_logged' | 'inverted') {
    this.#chatter = chatter;
    this.#merger = new ExtraMerger(this.#counter);
    this.#darkRuns = new DarkRuns(chatter, polarity, this.#merger);
  }

  /** The next `count` edges; the columns are not kept. */
  take(tick_us: Float64Array, dark: Uint8Array, count: number): void {
    this.#darkRuns.take(tick_us, dark, count);
  }

  finish(): PaddleReading {
    this.#darkRuns.finish();
    this.#merger.finish();
    const { paddles, missed } = this.#counter.finish();
    return {
      chatter: this.#chatter,
      paddles,
      counts: {
        paddles: paddles.slots.length,
        lit_gaps_bridged: this.#darkRuns.bridged,
        dark_blips_dropped: this.#darkRuns.dropped,
        missed,
        extra: this.#merger.extra,
        hidden: paddles.hidden_row.length,
        spells: paddles.spell_row.length,
      },
    };
  }
}

/**
 * Joins one paddle seen as two. A trailing edge far too soon after the one before means that one of the two is no paddle's
 * end: the earlier when its own period plus this one make a whole period, the later when this one plus the next do.
 */
class ExtraMerger implements DarkRunSink {
  extra = 0;
  readonly #sink: DarkRunSink;
  readonly #window = new PeriodWindow((window, from, to) => this.#judge(window, from, to));
  #kept = 0;
  #before_us = Number.NaN;
  /** The last one kept, which the next may still be joined to. */
  #last_us = Number.NaN;
  #lastDark_us = 0;
  /** Dark time of trailing edges left out since. */
  #pending_us = 0;

  constructor(sink: DarkRunSink) {
    this.#sink = sink;
  }

  add(trailing_us: number, dark_us: number): void {
    this.#window.add(trailing_us, dark_us);
  }

  finish(): void {
    this.#window.finish();
    if (this.#kept > 0) this.#sink.add(this.#last_us, this.#lastDark_us);
  }

  #judge(window: PeriodWindow, from: number, to: number): void {
    const surelyWhole_us = EXTRA_SHARE * window.longest(from, to);
    for (let i = from; i < to; i++) {
      const trailing_us = window.trailing_us[i];
      const early = trailing_us - this.#last_us < surelyWhole_us;
      if (early && this.#joins(window, i)) continue;
      if (this.#kept++ > 0) this.#sink.add(this.#last_us, this.#lastDark_us);
      this.#before_us = this.#last_us;
      this.#last_us = trailing_us;
      this.#lastDark_us = window.dark_us[i] + this.#pending_us;
      this.#pending_us = 0;
    }
  }

  /** Whether the trailing edge of row i is, or makes another one, no paddle's end; then its dark time is put where it belongs. */
  #joins(window: PeriodWindow, i: number): boolean {
    const running_us = window.running(i);
    if (!(window.trailing_us[i] - this.#last_us < EXTRA_SHARE * running_us)) return false;
    const whole_us = WHOLE_SHARE * running_us;
    if (this.#kept > 1 && window.trailing_us[i] - this.#before_us < whole_us) {
      this.#last_us = window.trailing_us[i];
      this.#lastDark_us += window.dark_us[i];
    } else if (i + 1 < window.size && window.trailing_us[i + 1] - this.#last_us < whole_us) {
      this.#pending_us += window.dark_us[i];
    } else {
      return false;
    }
    this.extra++;
    return true;
  }
}

/** Counts the paddles that passed in each period, and parts the log into running spells. */
class SlotCounter implements DarkRunSink {
  readonly #window = new PeriodWindow((window, from, to) => this.#judge(window, from, to));
  readonly #builder = new PaddleBuilder();
  #missed = 0;

  add(trailing_us: number, dark_us: number): void {
    this.#window.add(trailing_us, dark_us);
  }

  finish(): { paddles: PaddleColumns; missed: number } {
    this.#window.finish();
    return { paddles: this.#builder.finish(), missed: this.#missed };
  }

  #judge(window: PeriodWindow, from: number, to: number): void {
    const surelySingle_us = TWO_PADDLES * window.shortest(from, to);
    for (let i = from; i < to; i++) {
      const period_us = window.period(i);
      const dark_us = window.dark_us[i];
      const slots = period_us < surelySingle_us ? 1 : slotsIn(period_us, window.running(i));
      this.#missed += Math.max(0, slots - 1);
      if (slots === 0) this.#builder.beginSpell(window.trailing_us[i]);
      else if (Number.isNaN(dark_us)) this.#builder.addHidden(period_us, slots);
      else this.#builder.add(period_us, dark_us, slots);
    }
  }
}

/** Paddles that pass in a period; 0 where it is a stop, or the first of all and none. */
function slotsIn(period_us: number, running_us: number): number {
  const ratio = period_us / running_us;
  if (!(ratio < STOP_PERIODS && period_us <= LONGEST_STEP_US)) return 0;
  return Math.max(1, Math.round(ratio));
}
