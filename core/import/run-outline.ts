/** One run of a logger in outline: when, where, what it holds. Its memory is that of a fix every three seconds. */
import { Float64Builder, interpolate, upperBound } from '../columns.ts';
import type { DamageTally } from '../read/damage.ts';
import { type EdgeBlock, EdgeWindow } from '../read/edge-window.ts';
import { FixAssembler } from '../read/fix-epochs.ts';
import type { FixColumns } from '../read/logger-run.ts';
import type { RunSink, TickPayload } from '../read/run-columns.ts';
import { type ClockSolution, estimateClock, timeFromTick } from '../signal/clock.ts';
import { withoutWildTimes } from '../signal/row-order.ts';
import { Thinning, type TrackSamples } from './track-samples.ts';

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

/** Sentences after which the fixes so far are thinned and forgotten. */
const DRAINED_SENTENCES = 20_000;
const KEPT = ['tick_us', 'utc_s', 'longitude_deg', 'latitude_deg', 'speed_m_s'] as const;

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
  readonly #thinning = new Thinning();
  readonly #kept = KEPT.map(() => new Float64Builder(256));
  #fixCount = 0;
  #first_utc_s = Number.NaN;
  #last_utc_s = Number.NaN;
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

  addEdges(block: EdgeBlock): void {
    const { written_us, offset_us, from, to } = block;
    if (from === to) return;
    this.#see(written_us[from] + offset_us);
    let next_us = this.#activityTick_us.last() + ACTIVITY_STEP_US;
    for (let row = from + 1; row < to; row++) {
      const tick_us = written_us[row] + offset_us;
      if (tick_us < next_us) continue;
      this.#edgeCount += row - from;
      this.#see(tick_us);
      this.#edgeCount -= row - from;
      next_us = this.#activityTick_us.last() + ACTIVITY_STEP_US;
    }
    this.#edgeCount += to - from;
    const last_us = written_us[to - 1] + offset_us;
    if (!(this.#last_us >= last_us)) this.#last_us = last_us;
    this.#edges.addBlock(block);
  }

  addPayload(tick_us: number, payload: TickPayload, line: number): void {
    if (!Number.isNaN(tick_us)) this.#see(tick_us);
    this.#counts[payload.kind]++;
    if (payload.kind === 'sentence') {
      this.#fixes.add(payload.sentence, tick_us, line);
      if (this.#counts.sentence % DRAINED_SENTENCES === 0) this.#keep(this.#fixes.drain());
    } else if (payload.kind === 'header') {
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
    this.#keep(this.#fixes.finish());
    const [tick_us, utc_s, longitude_deg, latitude_deg, speed_m_s] = this.#kept.map((one) => one.toColumn());
    const clock = estimateClock(tick_us, utc_s, source);
    const counter = Number.isNaN(this.#first_us)
      ? undefined
      : counterSpan(this.#first_us, this.#last_us, clock.ok ? clock.value : undefined);
    const ends = [this.#first_utc_s, this.#last_utc_s, counter?.first_utc_s, counter?.last_utc_s].filter(
      (moment) => moment !== undefined && !Number.isNaN(moment),
    ) as number[];
    return {
      edges: this.#edgeCount,
      fixes: this.#fixCount,
      moisture: this.#counts.moisture,
      header: this.#counts.header,
      tilt: this.#counts.tilt,
      ...(counter ? { counter } : {}),
      first_utc_s: ends.length > 0 ? Math.min(...ends) : Number.NaN,
      last_utc_s: ends.length > 0 ? Math.max(...ends) : Number.NaN,
      samples: { utc_s, longitude_deg, latitude_deg, speed_m_s, working: this.#workingAt(tick_us) },
    };
  }

  /** Thins rows and adds them to those that stay. */
  #keep(fixes: FixColumns | undefined): void {
    if (fixes === undefined) return;
    this.#fixCount += fixes.utc_s.length;
    const rows = { ...fixes, utc_s: withoutWildTimes(fixes.utc_s) };
    for (let i = 0; i < rows.utc_s.length; i++) {
      const moment = rows.utc_s[i];
      if (!(this.#first_utc_s <= moment) && !Number.isNaN(moment)) this.#first_utc_s = moment;
      if (!(this.#last_utc_s >= moment) && !Number.isNaN(moment)) this.#last_utc_s = moment;
      if (!this.#thinning.keeps(rows, i)) continue;
      for (const [k, name] of KEPT.entries()) this.#kept[k].push(rows[name][i]);
    }
  }

  #see(tick_us: number): void {
    if (Number.isNaN(this.#first_us)) this.#first_us = tick_us;
    if (!(this.#last_us >= tick_us)) this.#last_us = tick_us;
    if (!(tick_us - this.#activityTick_us.last() < ACTIVITY_STEP_US)) {
      this.#activityTick_us.push(tick_us);
      this.#activityEdges.push(this.#edgeCount);
    }
  }

  /** 1 where the elevator runs and the header is not up, as far as either is logged; NaN where neither is. */
  #workingAt(tick_us: Float64Array): Float64Array {
    const headerTick_us = this.#headerTick_us.toColumn();
    const up = this.#headerUp.toColumn();
    // a switch that was never down is stuck
    const moves = up.includes(0);
    const activityTick_us = this.#activityTick_us.toColumn();
    const edges = this.#activityEdges.toColumn();
    return tick_us.map((tick) => {
      if (Number.isNaN(tick)) return Number.NaN;
      const state = upperBound(headerTick_us, tick) - 1;
      if (moves && state >= 0 && up[state] === 1) return 0;
      if (this.#edgeCount === 0) return moves && state >= 0 ? 1 : Number.NaN;
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
