/**
 * Edges → paddles.
 *
 * Going up, the top of the heap reaches the beam first and the paddle's underside leaves it last: the dark→lit edge
 * belongs to steel and is the clock; the lit→dark edge belongs to grain. A paddle's period T runs from the trailing edge
 * of the one before to its own; its dark fraction is D = dark time / T, independent of chain speed.
 *
 * Missed, extra and stopped are judged against the running median of the periods. A file or restart begins a new spell.
 */
import { Float64Builder } from '../columns.ts';
import type { BeamEdges } from '../read/logger-run.ts';
import type { ChatterSolution } from './chatter.ts';

/** One row a paddle (or a short stretch of missed ones), in time order. */
export interface PaddleColumns {
  /** Counter of the trailing edge, µs. */
  readonly tick_us: Float64Array;
  /** Time since the trailing edge before; NaN for the first of a running spell. */
  readonly period_s: Float64Array;
  /** Dark share of the period, one paddle's worth (0..1); NaN where a lost edge hides it or at the start of a spell. */
  readonly dark_fraction: Float64Array;
  /** Paddles that passed in the period: 1, or more where trailing edges were missed. */
  readonly slots: Float64Array;
  /** Running spell, counted from 0: the elevator ran without a stop. */
  readonly spell: Int32Array;
}

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
/** A period shorter than this share of the running one is no paddle of its own. */
const EXTRA_SHARE = 0.45;
/** Two short periods that make less than this many running ones are one whole period. */
const WHOLE_SHARE = 1.35;
/** Window of the running median, periods. */
const MEDIAN_WINDOW = 21;

/** Reads paddles from one run's edges. Fewer than two trailing edges give an empty result. */
export function readPaddles(edges: BeamEdges, chatter: ChatterSolution): PaddleReading {
  const clean = withoutChatter(edges, chatter);
  const merged = mergeExtra(clean);
  const periods_s = differences(merged.trailing_us);
  const running_s = runningMedian(periods_s, MEDIAN_WINDOW);

  const n = merged.trailing_us.length;
  const period_s = new Float64Array(n).fill(Number.NaN);
  const dark_fraction = new Float64Array(n).fill(Number.NaN);
  const slots = new Float64Array(n).fill(1);
  const spell = new Int32Array(n);
  let missed = 0;
  let hidden = 0;
  let current = 0;
  for (let i = 1; i < n; i++) {
    const T = periods_s[i];
    const ratio = T / running_s[i];
    if (!(ratio < STOP_PERIODS)) {
      spell[i] = ++current;
      continue;
    }
    spell[i] = current;
    period_s[i] = T;
    slots[i] = Math.max(1, Math.round(ratio));
    missed += slots[i] - 1;
    dark_fraction[i] = darkFraction(merged.dark_s[i], T, slots[i]);
    if (Number.isNaN(dark_fraction[i])) hidden++;
  }
  return {
    chatter,
    paddles: { tick_us: merged.trailing_us, period_s, dark_fraction, slots, spell },
    counts: {
      paddles: n,
      lit_gaps_bridged: clean.bridged,
      dark_blips_dropped: clean.dropped,
      missed,
      extra: merged.extra,
      hidden,
      spells: n > 0 ? current + 1 : 0,
    },
  };
}

/**
 * One paddle's dark fraction when `slots` paddles passed in the period. Where the beam stayed dark across the
 * missed edges (heaps that touch: the sensor is saturated) the whole dark time is theirs; where only one
 * paddle's dark time was seen, the others are taken to have looked the same.
 */
function darkFraction(dark_s: number, period_s: number, slots: number): number {
  if (slots === 1) return dark_s / period_s;
  const slot_s = period_s / slots;
  return dark_s > slot_s ? dark_s / period_s : dark_s / slot_s;
}

interface CleanPaddles {
  readonly trailing_us: Float64Array;
  /** NaN where an edge is missing. */
  readonly dark_s: Float64Array;
}

/** Dark runs after chatter: trailing edge and dark time of each; time within bridged gaps counts as dark. */
function withoutChatter(
  edges: BeamEdges,
  chatter: ChatterSolution,
): CleanPaddles & { bridged: number; dropped: number } {
  const trailing = new Float64Builder(Math.max(16, edges.dark.length >> 1));
  const dark = new Float64Builder(Math.max(16, edges.dark.length >> 1));
  const bridge_us = chatter.bridge_lit_s * 1e6;
  const drop_us = chatter.drop_dark_s * 1e6;
  let bridged = 0;
  let dropped = 0;
  /** Open dark run: its first edge (NaN while none is open) and its last dark→lit edge (NaN while still dark). */
  let start_us = Number.NaN;
  let end_us = Number.NaN;
  let broken = false;
  const close = () => {
    if (Number.isNaN(start_us) || Number.isNaN(end_us)) return;
    if (!broken && end_us - start_us < drop_us) {
      dropped++;
    } else {
      trailing.push(end_us);
      dark.push(broken ? Number.NaN : (end_us - start_us) * 1e-6);
    }
    start_us = Number.NaN;
    end_us = Number.NaN;
    broken = false;
  };
  for (let i = 0; i < edges.dark.length; i++) {
    const tick_us = edges.tick_us[i];
    const repeated = i > 0 && edges.dark[i] === edges.dark[i - 1];
    if (edges.dark[i] === 1) {
      const open = !Number.isNaN(start_us);
      if (open && !Number.isNaN(end_us) && tick_us - end_us < bridge_us) {
        bridged++;
        end_us = Number.NaN;
      } else {
        close();
        if (open && repeated) {
          // dark again without a lit edge between: where the first paddle ended is lost
          broken = true;
          continue;
        }
        start_us = tick_us;
      }
    } else if (repeated && i > 0) {
      // lit again without a dark edge between: the paddle passed, but its start is lost
      close();
      start_us = tick_us;
      end_us = tick_us;
      broken = true;
    } else if (!Number.isNaN(start_us)) {
      end_us = tick_us;
    }
  }
  close();
  return { trailing_us: trailing.toColumn(), dark_s: dark.toColumn(), bridged, dropped };
}

/**
 * Joins one paddle seen as two. A trailing edge far too soon after the one before means that one of the two is no paddle's
 * end: the earlier when its own period plus this one make a whole period, the later when this one plus the next do.
 */
function mergeExtra(clean: CleanPaddles): CleanPaddles & { extra: number } {
  const { trailing_us, dark_s } = clean;
  const running_s = runningMedian(differences(trailing_us), MEDIAN_WINDOW);
  const trailing = new Float64Array(trailing_us.length);
  const dark = new Float64Array(trailing_us.length);
  let extra = 0;
  let kept = 0;
  let pending_s = 0;
  const whole = (from_us: number, to_us: number, i: number) =>
    (to_us - from_us) * 1e-6 < WHOLE_SHARE * running_s[i];
  for (let i = 0; i < trailing_us.length; i++) {
    const early = kept > 0 && (trailing_us[i] - trailing[kept - 1]) * 1e-6 < EXTRA_SHARE * running_s[i];
    if (early && kept > 1 && whole(trailing[kept - 2], trailing_us[i], i)) {
      extra++;
      trailing[kept - 1] = trailing_us[i];
      dark[kept - 1] += dark_s[i];
      continue;
    }
    if (early && i + 1 < trailing_us.length && whole(trailing[kept - 1], trailing_us[i + 1], i)) {
      extra++;
      pending_s += dark_s[i];
      continue;
    }
    trailing[kept] = trailing_us[i];
    dark[kept++] = dark_s[i] + pending_s;
    pending_s = 0;
  }
  return { trailing_us: trailing.slice(0, kept), dark_s: dark.slice(0, kept), extra };
}

/** Seconds from each element to the one before; the first is NaN. */
function differences(tick_us: Float64Array): Float64Array {
  const periods_s = new Float64Array(tick_us.length);
  if (periods_s.length > 0) periods_s[0] = Number.NaN;
  for (let i = 1; i < tick_us.length; i++) periods_s[i] = (tick_us[i] - tick_us[i - 1]) * 1e-6;
  return periods_s;
}

/** Running median over a centred window (shortened at the ends); NaN elements are left out. O(n·window), window small. */
export function runningMedian(column: Float64Array, window: number): Float64Array {
  const half = window >> 1;
  const median = new Float64Array(column.length);
  const sorted = new Float64Array(window + 1);
  let size = 0;
  const insert = (x: number) => {
    if (Number.isNaN(x)) return;
    let k = size++;
    while (k > 0 && sorted[k - 1] > x) {
      sorted[k] = sorted[k - 1];
      k--;
    }
    sorted[k] = x;
  };
  const remove = (x: number) => {
    if (Number.isNaN(x)) return;
    let k = 0;
    while (sorted[k] !== x) k++;
    size--;
    for (; k < size; k++) sorted[k] = sorted[k + 1];
  };
  for (let i = 0; i < Math.min(half, column.length); i++) insert(column[i]);
  for (let i = 0; i < column.length; i++) {
    if (i + half < column.length) insert(column[i + half]);
    if (i - half - 1 >= 0) remove(column[i - half - 1]);
    median[i] = size > 0 ? sorted[size >> 1] : Number.NaN;
  }
  return median;
}
