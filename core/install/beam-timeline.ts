/**
 * All runs of a short log on one axis of seconds: beam states, moments of sentences, the beginnings of runs. Runs follow each
 * other with a second between; how long the logger was off, it does not say.
 */
import type { FirstLog } from './first-log.ts';

export interface BeamTimeline {
  /** Edges, ascending, the same state never twice in a row. */
  readonly t_s: Float64Array;
  readonly dark: Uint8Array;
  /** Index of the first edge of each run. */
  readonly run_edge: readonly number[];
  /** Where each run begins and ends. */
  readonly run_s: readonly { readonly from_s: number; readonly to_s: number }[];
  readonly sentence_s: Float64Array;
  /** Edges that repeated the state before: one between them is lost. */
  readonly lost_edges: number;
}

const BETWEEN_RUNS_S = 1;

/** `us_per_tick` puts counters right that do not count microseconds; `flip` exchanges dark and lit. */
export function timelineOf(log: FirstLog, us_per_tick: number, flip: 'as_logged' | 'inverted'): BeamTimeline {
  const t: number[] = [];
  const dark: number[] = [];
  const sentences: number[] = [];
  const run_edge: number[] = [];
  const run_s: { from_s: number; to_s: number }[] = [];
  let lost = 0;
  let origin_s = 0;
  for (const { run, sentences: told } of log.runs) {
    const { first_us, last_us } = extentOf(run.beam.tick_us, told.tick_us);
    run_edge.push(t.length);
    if (Number.isNaN(first_us)) {
      run_s.push({ from_s: origin_s, to_s: origin_s });
      continue;
    }
    const secondsOf = (tick_us: number) => origin_s + (tick_us - first_us) * us_per_tick * 1e-6;
    let state = -1;
    for (let i = 0; i < run.beam.edges; i++) {
      const now = flip === 'inverted' ? 1 - run.beam.dark[i] : run.beam.dark[i];
      if (now === state) {
        lost++;
        // a dark run without end says nothing; a lit edge after a lit one ends a paddle whose start is lost
        if (now === 1) t[t.length - 1] = secondsOf(run.beam.tick_us[i]);
        continue;
      }
      state = now;
      t.push(secondsOf(run.beam.tick_us[i]));
      dark.push(now);
    }
    for (const tick_us of told.tick_us) if (!Number.isNaN(tick_us)) sentences.push(secondsOf(tick_us));
    const to_s = secondsOf(last_us);
    run_s.push({ from_s: origin_s, to_s });
    origin_s = to_s + BETWEEN_RUNS_S;
  }
  return {
    t_s: Float64Array.from(t),
    dark: Uint8Array.from(dark),
    run_edge,
    run_s,
    sentence_s: Float64Array.from(sentences).sort(),
    lost_edges: lost,
  };
}

function extentOf(...columns: readonly Float64Array[]): { first_us: number; last_us: number } {
  let first_us = Number.NaN;
  let last_us = Number.NaN;
  for (const column of columns) {
    for (const tick_us of column) {
      if (!(tick_us >= first_us)) first_us = Number.isNaN(tick_us) ? first_us : tick_us;
      if (!(tick_us <= last_us)) last_us = Number.isNaN(tick_us) ? last_us : tick_us;
    }
  }
  return { first_us, last_us };
}
