/** The growing columns of one run while a tick log is read. */
import { Float64Builder } from '../columns.ts';
import type { DamageTally } from './damage.ts';
import { FixAssembler } from './fix-epochs.ts';
import type { LoggerRun } from './logger-run.ts';
import type { NmeaSentence } from './nmea.ts';

/** What a line of the tick log says besides a beam edge. */
export type TickPayload =
  | { readonly kind: 'sentence'; readonly sentence: NmeaSentence }
  | { readonly kind: 'moisture'; readonly moisture_pct: number }
  | { readonly kind: 'header'; readonly up: number }
  | { readonly kind: 'tilt'; readonly pitch_deg: number; readonly roll_deg: number };

const FIRST_CAPACITY = 4096;
const NO_STATE = -1;

/** Rows must be added in counter order. */
export class RunColumns {
  readonly #damage: DamageTally;
  readonly #fixes: FixAssembler;
  #edgeTick_us = new Float64Array(FIRST_CAPACITY);
  #dark = new Uint8Array(FIRST_CAPACITY);
  #edges = 0;
  #lastDark = NO_STATE;
  readonly #moistureTick_us = new Float64Builder(64);
  readonly #moisture_pct = new Float64Builder(64);
  readonly #headerTick_us = new Float64Builder(16);
  readonly #up: number[] = [];
  readonly #tiltTick_us = new Float64Builder(16);
  readonly #pitch_deg = new Float64Builder(16);
  readonly #roll_deg = new Float64Builder(16);

  constructor(damage: DamageTally) {
    this.#damage = damage;
    this.#fixes = new FixAssembler(damage);
  }

  /** A beam edge: `dark` 1 or 0. The same state twice in a row is kept and counted as `missing_edge`. */
  addEdge(tick_us: number, dark: number, line: number): void {
    if (this.#edges === this.#dark.length) this.#grow();
    if (dark === this.#lastDark) this.#damage.add('missing_edge', line);
    this.#lastDark = dark;
    this.#edgeTick_us[this.#edges] = tick_us;
    this.#dark[this.#edges++] = dark;
  }

  addPayload(tick_us: number, payload: TickPayload, line: number): void {
    switch (payload.kind) {
      case 'sentence':
        this.#fixes.add(payload.sentence, tick_us, line);
        break;
      case 'moisture':
        this.#moistureTick_us.push(tick_us);
        this.#moisture_pct.push(payload.moisture_pct);
        break;
      case 'header':
        this.#headerTick_us.push(tick_us);
        this.#up.push(payload.up);
        break;
      case 'tilt':
        this.#tiltTick_us.push(tick_us);
        this.#pitch_deg.push(payload.pitch_deg);
        this.#roll_deg.push(payload.roll_deg);
        break;
    }
  }

  /** Whether an edge with this counter and state is among the rows (by bisection). */
  hasEdge(tick_us: number, dark: number): boolean {
    let low = 0;
    let high = this.#edges;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#edgeTick_us[middle] < tick_us) low = middle + 1;
      else high = middle;
    }
    for (; low < this.#edges && this.#edgeTick_us[low] === tick_us; low++) {
      if (this.#dark[low] === dark) return true;
    }
    return false;
  }

  finish(source: string): LoggerRun {
    return {
      source,
      edges: {
        tick_us: this.#edgeTick_us.slice(0, this.#edges),
        dark: this.#dark.slice(0, this.#edges),
      },
      fixes: this.#fixes.finish(),
      moisture: {
        tick_us: this.#moistureTick_us.toColumn(),
        moisture_pct: this.#moisture_pct.toColumn(),
      },
      header: { tick_us: this.#headerTick_us.toColumn(), up: Uint8Array.from(this.#up) },
      tilt: {
        tick_us: this.#tiltTick_us.toColumn(),
        pitch_deg: this.#pitch_deg.toColumn(),
        roll_deg: this.#roll_deg.toColumn(),
      },
    };
  }

  #grow(): void {
    const tick_us = new Float64Array(this.#edges * 2);
    tick_us.set(this.#edgeTick_us);
    this.#edgeTick_us = tick_us;
    const dark = new Uint8Array(this.#edges * 2);
    dark.set(this.#dark);
    this.#dark = dark;
  }
}
