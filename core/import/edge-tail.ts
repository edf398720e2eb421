/** The last seconds of a beam's edges: all that judging late and missing edges takes, whatever the length of the log. */
import type { DamageTally } from '../read/damage.ts';

/** Late lines reach back ten seconds; a chattering beam has a hundred edges a second. */
const KEPT_EDGES = 4096;
const NO_STATE = -1;

/** Counts as `RunColumns` does, without keeping the edges. */
export class EdgeTail {
  /** Edges so far. */
  count = 0;
  readonly #damage: DamageTally;
  readonly #tick_us = new Float64Array(2 * KEPT_EDGES);
  readonly #dark = new Uint8Array(2 * KEPT_EDGES);
  #kept = 0;
  #lastDark = NO_STATE;
  /** Kept edges that repeat the state before them: indices, ascending, and lines. */
  #missing: { at: number; readonly line: number }[] = [];

  constructor(damage: DamageTally) {
    this.#damage = damage;
  }

  add(tick_us: number, dark: number, line: number): void {
    if (this.#kept >= 2 * KEPT_EDGES - 1) this.#forget(this.#kept - KEPT_EDGES);
    if (dark === this.#lastDark) this.#missing.push({ at: this.#kept, line });
    this.#lastDark = dark;
    this.#tick_us[this.#kept] = tick_us;
    this.#dark[this.#kept++] = dark;
    this.count++;
  }

  insert(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    let at = this.#kept;
    while (at > 0 && this.#tick_us[at - 1] > tick_us) at--;
    for (let k = at - 1; k >= 0 && this.#tick_us[k] === tick_us; k--) {
      if (this.#dark[k] === dark) return 'repeated';
    }
    if (at === 0 || at === this.#kept) return 'stranger';
    if (this.#dark[at - 1] === dark || this.#dark[at] === dark) return 'stranger';
    this.#tick_us.copyWithin(at + 1, at, this.#kept);
    this.#dark.copyWithin(at + 1, at, this.#kept);
    this.#tick_us[at] = tick_us;
    this.#dark[at] = dark;
    this.#kept++;
    this.count++;
    this.#missing = this.#missing.filter((one) => one.at !== at);
    for (const one of this.#missing) if (one.at > at) one.at++;
    return 'inserted';
  }

  /** Counts the edges that are still missing. */
  finish(): void {
    this.#settle(this.#kept);
  }

  #forget(edges: number): void {
    this.#settle(edges);
    this.#tick_us.copyWithin(0, edges, this.#kept);
    this.#dark.copyWithin(0, edges, this.#kept);
    this.#kept -= edges;
    for (const one of this.#missing) one.at -= edges;
  }

  /** Gaps before index `end` can no longer be filled. */
  #settle(end: number): void {
    for (const { at, line } of this.#missing) if (at < end) this.#damage.add('missing_edge', line);
    this.#missing = this.#missing.filter(({ at }) => at >= end);
  }
}
