/** One run of a logger in outline: when, where, what it holds. Memory is that of its fixes, not of its edges. */
import { Float64Builder, interpolate, upperBound } from '../columns.ts';
import type { DamageTally } from '../read/damage.ts';
import { EdgeWindow } from '../read/edge-window.ts';
import { FixAssembler } from '../read/fix-epochs.ts';
import type { FixColumns } from '../read/logger-run.ts';
import type { RunSink, TickPayload } from '../read/run-columns.ts';
import { type ClockSolution, estimateClock, timeFromTick } from '../signal/clock.ts';
import { withoutWildTimes } from '../signal/row-order.ts';
import { type TrackSamples, thinSamples } from './track-samples.ts';

/** A stretch of a logger's free-running counter, unwrapped within the run. */
export interface CounterSpan {
  readonly first_us: number;
  readonly last_us: number;
  /** UTC at `first_us` and `last_us`, Unix seconds; NaN when nothing in the run lays it on UTC. */
  readonly first_utc_s: number;
  readonly last_utc_s: number;
}

export interface RunOutline {
  /** Rows by kind. */
  readonly edges: number;
  readonly fixes: number;
  readonly moisture: number;
  readonly header: number;
  readonly tilt: number;
  /** Absent when no line has a counter (bare NMEA). */
  readonly counter?: CounterSpan;
  /** First and last known moment, Unix seconds; NaN when no time is known. */
  readonly first_utc_s: number;
  readonly last_utc_s: number;
  readonly samples: TrackSamples;
}

/** Edges are counted against the counter about as often as fixes are sampled. */
const ACTIVITY_STEP_US = 2e6;
/** Fewer edges a second than this is an elevator that stands: the slowest chains pass some eight paddles. Ours. */
const RUNNING_EDGES_S = 2;

/** Takes a run's lines and keeps what the outline needs. */
export class RunOutliner implements RunSink<RunOutline> {
  readonly #edges: EdgeWindow;
  #edgeCount = 0;
  readonly #fixes: FixAssembler;
  readonly #counts = { sentence: 0, moisture: 0, header: 0, tilt: 0 };
  readonly #headerTick_us = new Float64Builder(64);
  readonly #headerUp = new Float64Builder(64);
  /** Edges so far, every two seconds of the counter. */
  readonly #activityTick_us = new Float64Builder(256);
  readonly #activityEdges = new Float64Builder(256);
  #first_us = Number.NaN;
  #last_us = Number.NaN;

  constructor(damage: DamageTally) {
    this.#edges = new EdgeWindow(damage, { take: () => undefined });
    this.#fixes = new FixAssembler(damage);
  }

  addEdge(tick_us: number, dark: number, line: number): void {
    this.#see(tick_us);
    this.#edges.add(tick_us, dark, line);
    this.#edgeCount++;
  }

  addPayload(tick_us: number, payload: TickPayload, line: number): void {
    if (!Number.isNaN(tick_us)) this.#see(tick_us);
    this.#counts[payload.kind]++;
    if (payload.kind === 'sentence') this.#fixes.add(payload.sentence, tick_us, line);
    else if (payload.kind === 'header') {
      this.#headerTick_us.push(tick_us);
      this.#headerUp.push(payload.up);
    }
  }

  insertEdge(tick_us: number, dark: number): 'inserted' | 'repeated' | 'stranger' {
    const outcome = this.#edges.insert(tick_us, dark);
    if (outcome === 'inserted') this.#edgeCount++;
    return outcome;
  }

  finish(source: string): RunOutline {
    this.#edges.finish();
    this.#activityTick_us.push(this.#last_us);
    this.#activityEdges.push(this.#edgeCount);
    const fixes = this.#fixes.finish();
    const clock = estimateClock(fixes.tick_us, fixes.utc_s, source);
    const utc_s = this.#timesOf(fixes, clock.ok ? clock.value : undefined);
    const span = spanOf(utc_s);
    const counter = Number.isNaN(this.#first_us)
      ? undefined
      : counterSpan(this.#first_us, this.#last_us, clock.ok ? clock.value : undefined);
    const ends = [span.first_utc_s, span.last_utc_s, counter?.first_utc_s, counter?.last_utc_s].filter(
      (moment) => moment !== undefined && !Number.isNaN(moment),
    ) as number[];
    return {
      edges: this.#edgeCount,
      fixes: fixes.utc_s.length,
      moisture: this.#counts.moisture,
      header: this.#counts.header,
      tilt: this.#counts.tilt,
      ...(counter ? { counter } : {}),
      first_utc_s: ends.length > 0 ? Math.min(...ends) : Number.NaN,
      last_utc_s: ends.length > 0 ? Math.max(...ends) : Number.NaN,
      samples: thinSamples({ ...fixes, utc_s, working: this.#workingAt(fixes.tick_us) }),
    };
  }

  #see(tick_us: number): void {
    if (Number.isNaN(this.#first_us)) this.#first_us = tick_us;
    if (!(this.#last_us >= tick_us)) this.#last_us = tick_us;
    if (!(tick_us - this.#activityTick_us.last() < ACTIVITY_STEP_US)) {
      this.#activityTick_us.push(tick_us);
      this.#activityEdges.push(this.#edgeCount);
    }
  }

  #timesOf(fixes: FixColumns, clock: ClockSolution | undefined): Float64Array {
    const believed = withoutWildTimes(fixes.utc_s);
    if (clock === undefined) return believed;
    const byTick = timeFromTick(clock, fixes.tick_us, 0);
    return believed.map((utc_s, i) => (Number.isNaN(utc_s) ? byTick[i] : utc_s));
  }

  /** 1 where the elevator runs and the header is not up, as far as either is logged; NaN where neither is. */
  #workingAt(tick_us: Float64Array): Float64Array {
    const headerTick_us = this.#headerTick_us.toColumn();
    const up = this.#headerUp.toColumn();
    const activityTick_us = this.#activityTick_us.toColumn();
    const edges = this.#activityEdges.toColumn();
    return tick_us.map((tick) => {
      if (Number.isNaN(tick)) return Number.NaN;
      const state = upperBound(headerTick_us, tick) - 1;
      if (state >= 0 && up[state] === 1) return 0;
      if (this.#edgeCount === 0) return state >= 0 ? 1 : Number.NaN;
      const span_us = 2 * ACTIVITY_STEP_US;
      const passed =
        interpolate(activityTick_us, edges, tick + span_us) -
        interpolate(activityTick_us, edges, tick - span_us);
      return passed >= RUNNING_EDGES_S * 2e-6 * span_us ? 1 : 0;
    });
  }
}

function counterSpan(first_us: number, last_us: number, clock: ClockSolution | undefined): CounterSpan {
  const [first_utc_s, last_utc_s] = clock
    ? timeFromTick(clock, Float64Array.of(first_us, last_us), 0)
    : [Number.NaN, Number.NaN];
  return { first_us, last_us, first_utc_s, last_utc_s };
}

function spanOf(utc_s: Float64Array): { first_utc_s: number; last_utc_s: number } {
  let first_utc_s = Number.NaN;
  let last_utc_s = Number.NaN;
  for (const moment of utc_s) {
    if (Number.isNaN(moment)) continue;
    if (!(first_utc_s <= moment)) first_utc_s = moment;
    if (!(last_utc_s >= moment)) last_utc_s = moment;
  }
  return { first_utc_s, last_utc_s };
}
