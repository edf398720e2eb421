/**
 * The latest edges of a beam, among which an edge that comes late is put where it belongs; older ones are settled and
 * handed on in blocks. As long as a run fits into the window, all of it can still be put right.
 */
import type { DamageTally } from './damage.ts';

/** Takes settled edges, in counter order. The columns are not its own: they change after the call. */
export interface EdgeConsumer {
  /** `dark` holds 1 where the beam became interrupted, else 0; the first `count` elements are meant. */
  take(tick_us: Float64Array, dark: Uint8Array, count: number): void;
}

/** Edges in counter order, one a line: rows `from` .. `to` − 1 of columns that are not kept. */
export interface EdgeBlock {
  /** As written, to which `offset_us` is added. */
  readonly written_us: Float64Array;
  readonly offset_us: number;
  readonly dark: Uint8Array;
  readonly from: number;
  readonly to: number;
  /** Line of row 0. */
  readonly line: number;
}

/**
 * Edges that wait at the most. A logger starts anew with the key, so that the run of a day fits in: half a day and more of
 * an elevator that passes ten paddles a second.
 */
export const WINDOW_EDGES = 2 ** 20;
/** Edges that stay when the others are handed on: late lines reach back ten seconds, and a chattering beam has a hundred edges a second. */
const STAYING_EDGES = 4096;
const FIRST_CAPACITY = 4096;
const NO_STATE = -1;

interface Room {
  readonly tick_us: Float64Array<ArrayBuffer>;
  readonly dark: Uint8Array<ArrayBuffer>;
}

function newRoom(edges: number): Room {
  return { tick_us: new Float64Array(edges), dark: new Uint8Array(edges) };
}

/** The room of a run that has ended, for the next one: a season has hundreds of runs, each worth ten megabytes. */
let spare: Room | undefined;

export class EdgeWindow {
  readonly #damage: DamageTally;
  readonly #consumer: EdgeConsumer;
  #tick_us = new Float64Array(FIRST_CAPACITY);
  #dark = new Uint8Array(FIRST_CAPACITY);
  #size = 0;
  #lastDark = NO_STATE;
  /** Edges that repeat the state before them: their indices, ascending, and their lines. */
  #missing: { at: number; readonly line: number }[] = [];

  /** Edges that repeat the state before them are counted as `missing_edge` in `damage` once nothing can be put between. */
  constructor(damage: DamageTally, consumer: EdgeConsumer) {
    this.#damage = damage;
    this.#consumer = consumer;
  }

  /** The next edge: `dark` 1 or 0. */
  add(tick_us: number, dark: number, line: number): void {
    if (this.#size === this.#dark.length) this.#makeRoom();
    if (dark === this.#lastDark) this.#missing.push({ at: this.#size, line });
    this.#lastDark = dark;
    this.#tick_us[this.#size] = tick_us;
    this.#dark[this.#size++] = dark;
  }

  /** As `add` of each. */
  addBlock({ written_us, offset_us, dark, from, to, line }: EdgeBlock): void {
    for (let row = from; row < to; ) {
      if (this.#size === this.#dark.length) this.#makeRoom();
      const ticks = this.#tick_us;
      const states = this.#dark;
      const end = Math.min(to, row + states.length - this.#size);
      let size = this.#size;
      let last = this.#lastDark;
      for (; row < end; row++, size++) {
        const state = dark[row];
        if (state === last) this.#missing.push({ at: size, line: line + row });
        last = state;
        ticks[size] = written_us[row] + offset_us;
        states[size] = state;
      }
      this.#size = size;
      this.#lastDark = last;
    }
  }

  /**
   * Puts an edge that came late where it belongs, if the states there show that it is missing: both neighbours are of
   * the other state. `repeated` when the very edge is there already, else `stranger`; neither changes anything.
   */
  insert(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    if (this.#size === this.#dark.length) this.#makeRoom();
    const at = this.#indexAfter(tick_us);
    for (let k = at - 1; k >= 0 && this.#tick_us[k] === tick_us; k--) {
      if (this.#dark[k] === dark) return 'repeated';
    }
    if (at === 0 || at === this.#size) return 'stranger';
    if (this.#dark[at - 1] === dark || this.#dark[at] === dark) return 'stranger';
    this.#tick_us.copyWithin(at + 1, at, this.#size);
    this.#dark.copyWithin(at + 1, at, this.#size);
    this.#tick_us[at] = tick_us;
    this.#dark[at] = dark;
    this.#size++;
    for (let k = this.#missing.length - 1; k >= 0 && this.#missing[k].at >= at; k--) {
      if (this.#missing[k].at === at) this.#missing.splice(k, 1);
      else this.#missing[k].at++;
    }
    return 'inserted';
  }

  /** Hands on what is left; after it nothing may be added. */
  finish(): void {
    this.#settle(this.#size);
    if (this.#dark.length > (spare?.dark.length ?? 0)) spare = { tick_us: this.#tick_us, dark: this.#dark };
    this.#tick_us = new Float64Array(0);
    this.#dark = new Uint8Array(0);
  }

  /** Index of the first edge after `tick_us`, by bisection. */
  #indexAfter(tick_us: number): number {
    let low = 0;
    let high = this.#size;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#tick_us[middle] <= tick_us) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #makeRoom(): void {
    if (this.#size >= WINDOW_EDGES) {
      this.#settle(this.#size - STAYING_EDGES);
      return;
    }
    const room = spare !== undefined && spare.dark.length > this.#size ? spare : newRoom(2 * this.#size);
    if (room === spare) spare = undefined;
    room.tick_us.set(this.#tick_us.subarray(0, this.#size));
    room.dark.set(this.#dark.subarray(0, this.#size));
    this.#tick_us = room.tick_us;
    this.#dark = room.dark;
  }

  #settle(count: number): void {
    this.#consumer.take(this.#tick_us, this.#dark, count);
    this.#tick_us.copyWithin(0, count, this.#size);
    this.#dark.copyWithin(0, count, this.#size);
    this.#size -= count;
    const settled = this.#missing.filter(({ at }) => at < count);
    for (const { line } of settled) this.#damage.add('missing_edge', line);
    this.#missing = this.#missing.filter(({ at }) => at >= count);
    for (const one of this.#missing) one.at -= count;
  }
}
