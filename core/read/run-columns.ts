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

/** What takes the lines of one run, in counter order, and makes an `R` of them. */
export interface RunSink<R> {
  /** A beam edge: `dark` 1 or 0. */
  addEdge(tick_us: number, dark: number, line: number): void;
  addPayload(tick_us: number, payload: TickPayload, line: number): void;
  /** Puts an edge that came late where it belongs, or says that it is there already or does not fit. */
  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger';
  finish(source: string): R;
}

/** Makes the sink of a new run; what is wrong with its rows is counted in `damage`. */
export type RunStart<R> = (damage: DamageTally) => RunSink<R>;

const FIRST_CAPACITY = 4096;
const NO_STATE = -1;

/** Rows must be added in counter order. */
export class RunColumns implements RunSink<LoggerRun> {
  readonly #damage: DamageTally;
  readonly #fixes: FixAssembler;
  #edgeTick_us = new Float64Array(FIRST_CAPACITY);
  #dark = new Uint8Array(FIRST_CAPACITY);
  #edges = 0;
  #lastDark = NO_STATE;
  /** Edges that repeat the state before them: their indices, ascending, and their lines. */
  readonly #missing: { at: number; readonly line: number }[] = [];
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

  /** A beam edge: `dark` 1 or 0. The same state twice in a row is kept, and counted as `missing_edge` in the end. */
  addEdge(tick_us: number, dark: number, line: number): void {
    if (this.#edges === this.#dark.length) this.#grow();
    if (dark === this.#lastDark) this.#missing.push({ at: this.#edges, line });
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

  /**
   * Puts an edge that came late where it belongs, if the states there show that it is missing: both neighbours are of
   * the other state. `repeated` when the very edge is there already, else `stranger`; neither changes anything.
   */
  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    const at = this.#indexAfter(tick_us);
    for (let k = at - 1; k >= 0 && this.#edgeTick_us[k] === tick_us; k--) {
      if (this.#dark[k] === dark) return 'repeated';
    }
    if (at === 0 || at === this.#edges) return 'stranger';
    if (this.#dark[at - 1] === dark || this.#dark[at] === dark) return 'stranger';
    if (this.#edges === this.#dark.length) this.#grow();
    this.#edgeTick_us.copyWithin(at + 1, at, this.#edges);
    this.#dark.copyWithin(at + 1, at, this.#edges);
    this.#edgeTick_us[at] = tick_us;
    this.#dark[at] = dark;
    this.#edges++;
    for (let k = this.#missing.length - 1; k >= 0 && this.#missing[k].at >= at; k--) {
      if (this.#missing[k].at === at) this.#missing.splice(k, 1);
      else this.#missing[k].at++;
    }
    return 'inserted';
  }

  /** The run; its missing edges are counted now. */
  finish(source: string): LoggerRun {
    for (const { line } of this.#missing) this.#damage.add('missing_edge', line);
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

  /** Index of the first edge after `tick_us`, by bisection. */
  #indexAfter(tick_us: number): number {
    let low = 0;
    let high = this.#edges;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#edgeTick_us[middle] <= tick_us) low = middle + 1;
      else high = middle;
    }
    return low;
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
