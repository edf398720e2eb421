/** The growing columns of one run while a tick log is read. */
import { Float64Builder } from '../columns.ts';
import type { DamageTally } from './damage.ts';
import { type EdgeBlock, type EdgeConsumer, EdgeWindow } from './edge-window.ts';
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
  /** Edges in one go, where a sink has a quicker way: `addEdge` of each row of the block. */
  addEdges?(block: EdgeBlock): void;
  addPayload(tick_us: number, payload: TickPayload, line: number): void;
  /** Puts an edge that came late where it belongs, or says that it is there already or does not fit. */
  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger';
  finish(source: string): R;
}

/** Makes the sink of a new run; what is wrong with its rows is counted in `damage`. */
export type RunStart<R> = (damage: DamageTally) => RunSink<R>;

/** What becomes of a run's edges: takes them in counter order and makes a `Beam` of them. */
export interface BeamReader<Beam> extends EdgeConsumer {
  finish(): Beam;
}

/** The run as it comes: fixes, moisture, header and tilt in columns, edges as the beam's reader wants them. */
export class RunColumns<Beam> implements RunSink<LoggerRun<Beam>> {
  readonly #beam: BeamReader<Beam>;
  readonly #edges: EdgeWindow;
  readonly #fixes: FixAssembler;
  readonly #moistureTick_us = new Float64Builder(64);
  readonly #moisture_pct = new Float64Builder(64);
  readonly #headerTick_us = new Float64Builder(16);
  readonly #up: number[] = [];
  readonly #tiltTick_us = new Float64Builder(16);
  readonly #pitch_deg = new Float64Builder(16);
  readonly #roll_deg = new Float64Builder(16);

  constructor(damage: DamageTally, beam: BeamReader<Beam>) {
    this.#beam = beam;
    this.#edges = new EdgeWindow(damage, beam);
    this.#fixes = new FixAssembler(damage);
  }

  addEdge(tick_us: number, dark: number, line: number): void {
    this.#edges.add(tick_us, dark, line);
  }

  addEdges(block: EdgeBlock): void {
    this.#edges.addBlock(block);
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

  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    return this.#edges.insert(tick_us, dark);
  }

  finish(source: string): LoggerRun<Beam> {
    this.#edges.finish();
    return {
      source,
      beam: this.#beam.finish(),
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
}
