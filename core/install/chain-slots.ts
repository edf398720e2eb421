/**
 * Paddles of an elevator under power, each put into its slot on the chain: slots follow each other by one running period, so
 * that a missing paddle leaves an empty slot and an extra one stands between two.
 */
import { runningMedian } from '../signal/running-median.ts';
import { median } from '../stats/quantiles.ts';
import type { TurningSpell } from './paddle-passages.ts';

/** One stretch in which slots could be counted without a break. */
export interface SlotStretch {
  /** By slot: dark share of the period; NaN where the slot is empty or its dark time hidden. */
  readonly dark: Float64Array;
  /** By slot: time of the trailing edge, s; NaN where empty. */
  readonly t_s: Float64Array;
  /** 1 where a paddle too many stands before the slot. */
  readonly extra: Uint8Array;
}

/** Time in which paddles ought to have come and did not, with the chain running on. */
export interface Hole {
  readonly from_s: number;
  readonly to_s: number;
}

export interface SteadyRunning {
  readonly stretches: readonly SlotStretch[];
  /** Single periods (one slot apart), as a share of the running one. */
  readonly period_ratio: Float64Array;
  /** Median period, s; NaN when nothing ran. */
  readonly period_s: number;
  /** Running seconds looked at. */
  readonly running_s: number;
  /** Holes of more slots than can be counted. */
  readonly holes: readonly Hole[];
}

/** The chain is at its speed within this share of its median. */
const STEADY_SHARE = 0.2;
const WINDOW = 31;
/** A period so many times the median is that of a chain that is stopping or starting. */
const STOPPING_SHARE = 1.4;
/** Further than this from a whole slot is a paddle of its own, between two. */
const OFF_SLOT = 0.27;
/** So many paddles off their slots in a row: it is the count that is off. */
const LOST_STEP = 4;
/** Across more slots the count is not trusted. */
const COUNTABLE = 12;

export function steadyRunning(spells: readonly TurningSpell[]): SteadyRunning {
  const stretches: SlotStretch[] = [];
  const ratios: number[] = [];
  const holes: Hole[] = [];
  let running_s = 0;
  const periods: number[] = [];
  for (const { how, passages } of spells) {
    if (how !== 'under_power') continue;
    const rows = steadyRows(passages.trail_s);
    if (rows === undefined) continue;
    running_s += passages.trail_s[rows.last] - passages.trail_s[rows.first];
    for (let i = rows.first; i <= rows.last; i++) periods.push(rows.usual_s[i]);
    stretches.push(...slotsOf(passages, rows, ratios, holes));
  }
  return {
    stretches,
    period_ratio: Float64Array.from(ratios),
    period_s: median(periods),
    running_s,
    holes,
  };
}

interface Rows {
  readonly first: number;
  readonly last: number;
  readonly usual_s: Float64Array;
  readonly middle_s: number;
}

/** Rows between start and stop of the chain. */
function steadyRows(trail_s: Float64Array): Rows | undefined {
  const period_s = trail_s.map((t_s, i) => (i > 0 ? t_s - trail_s[i - 1] : Number.NaN));
  const usual_s = runningMedian(period_s, WINDOW);
  const middle_s = median(usual_s);
  const isSteady = (i: number) => Math.abs(usual_s[i] / middle_s - 1) < STEADY_SHARE;
  let first = 0;
  let last = trail_s.length - 1;
  while (first < last && !isSteady(first)) first++;
  while (last > first && !isSteady(last)) last--;
  // the median answers half a window before the chain is at its speed
  first += WINDOW >> 1;
  last -= WINDOW >> 1;
  return last - first < WINDOW ? undefined : { first, last, usual_s, middle_s };
}

function slotsOf(
  { lead_s, trail_s }: TurningSpell['passages'],
  { first, last, usual_s, middle_s }: Rows,
  ratios: number[],
  holes: Hole[],
): SlotStretch[] {
  const stretches: SlotStretch[] = [];
  let open = new Slots();
  let base_s = Number.NaN;
  let strays = 0;
  const begin = (i: number) => {
    if (open.size > 0) stretches.push(open.finish());
    open = new Slots();
    open.put(0, (trail_s[i] - lead_s[i]) / usual_s[i], trail_s[i]);
    base_s = trail_s[i];
    strays = 0;
  };
  begin(firstWhole(trail_s, usual_s, first, last));
  for (let i = first; i <= last; i++) {
    if (!(trail_s[i] > base_s)) continue;
    const along = (trail_s[i] - base_s) / usual_s[i];
    const slots = Math.round(along);
    if (slots > COUNTABLE) {
      // a chain that stops gets slower first, and one that starts is slow at first
      const atSpeed = [i - 1, i + 2].every(
        (k) => !((trail_s[k] - trail_s[k - 1]) / middle_s > STOPPING_SHARE),
      );
      if (atSpeed) holes.push({ from_s: base_s, to_s: trail_s[i] });
      begin(i);
    } else if (slots === 0 || Math.abs(along - slots) > OFF_SLOT) {
      open.putExtra(slots === 0 ? 1 : Math.ceil(along));
      if (++strays >= LOST_STEP) begin(i);
    } else {
      if (slots === 1) ratios.push(along);
      open.put(slots, (trail_s[i] - lead_s[i]) / usual_s[i], trail_s[i]);
      base_s = trail_s[i];
      strays = 0;
    }
  }
  stretches.push(open.finish());
  return stretches;
}

/** A paddle with a whole period on both sides: it is one of the row, not one too many. */
function firstWhole(trail_s: Float64Array, usual_s: Float64Array, first: number, last: number): number {
  const isWhole = (i: number) =>
    i > 0 && i < trail_s.length && Math.abs((trail_s[i] - trail_s[i - 1]) / usual_s[i] - 1) < OFF_SLOT;
  for (let i = first; i < last; i++) if (isWhole(i) && isWhole(i + 1)) return i;
  return first;
}

class Slots {
  readonly #dark: number[] = [];
  readonly #t_s: number[] = [];
  readonly #extra: number[] = [];

  get size(): number {
    return this.#dark.length;
  }

  /** A paddle `slots` slots further on; 0 for the first. */
  put(slots: number, dark: number, t_s: number): void {
    for (let k = 1; k < slots; k++) this.#push(Number.NaN, Number.NaN);
    this.#push(dark, t_s);
  }

  /** A paddle too many before the slot that is `ahead` slots further on. */
  putExtra(ahead: number): void {
    this.#extra[this.#dark.length - 1 + ahead] = 1;
  }

  finish(): SlotStretch {
    return {
      dark: Float64Array.from(this.#dark),
      t_s: Float64Array.from(this.#t_s),
      extra: Uint8Array.from(this.#dark, (_, k) => this.#extra[k] ?? 0),
    };
  }

  #push(dark: number, t_s: number): void {
    this.#dark.push(dark);
    this.#t_s.push(t_s);
  }
}
