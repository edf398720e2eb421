/**
 * Runs of the files of one log entry laid together: a beam file and a fix file that share the logger's counter become
 * one run.
 *
 * Runs with and without beam edges are paired one to one, in the order of the files, so that the counters shared by
 * the pairs are as long as possible in all (after every restart the counters begin anew, and overlap alone could
 * not tell which run belongs to which). A fix file cut into several then gives the pieces that are left over, as long as
 * they follow each other. Runs without counters (bare NMEA) stay alone: the clock stage matches them by time.
 */
import type { BeamExtent, LoggerRun, TickLogReading } from './logger-run.ts';

interface Span<Beam> {
  readonly run: LoggerRun<Beam>;
  readonly first_us: number;
  readonly last_us: number;
}

/** All runs of `readings` in their order, joined where they share ticks; a joined run stands where its beam run stood. */
export function joinRuns<Beam extends BeamExtent>(
  readings: readonly TickLogReading<Beam>[],
): LoggerRun<Beam>[] {
  const runs = readings.flatMap((reading) => reading.runs);
  const beams: Span<Beam>[] = [];
  const others: Span<Beam>[] = [];
  for (const run of runs) {
    const span = spanOf(run);
    if (!(span.first_us <= span.last_us)) continue;
    const hasEdges = run.beam.edges > 0;
    if (hasEdges && run.fixes.tick_us.length === 0) beams.push(span);
    else if (!hasEdges) others.push(span);
  }
  const partners = pairInOrder(beams, others);
  const paired = new Set(partners);
  const joined = new Map<LoggerRun<Beam>, LoggerRun<Beam>>();
  const taken = new Set<LoggerRun<Beam>>();
  beams.forEach((beam, b) => {
    const parts = withFollowers(beam, partners[b], others, paired);
    for (const part of parts) taken.add(part.run);
    if (parts.length > 0)
      joined.set(beam.run, { ...merge([beam.run, ...parts.map((part) => part.run)]), beam: beam.run.beam });
  });
  return runs.filter((run) => !taken.has(run)).map((run) => joined.get(run) ?? run);
}

/** Counter range over all columns; NaN (no range) when nothing in the run has a counter. */
function spanOf<Beam extends BeamExtent>(run: LoggerRun<Beam>): Span<Beam> {
  let first_us = Number.POSITIVE_INFINITY;
  let last_us = Number.NEGATIVE_INFINITY;
  const see = (from_us: number, to_us: number) => {
    if (Number.isNaN(from_us)) return;
    first_us = Math.min(first_us, from_us);
    last_us = Math.max(last_us, to_us);
  };
  see(run.beam.first_us, run.beam.last_us);
  for (const { tick_us } of [run.fixes, run.moisture, run.header, run.tilt]) {
    if (tick_us.length > 0) see(tick_us[0], tick_us[tick_us.length - 1]);
  }
  return { run, first_us, last_us };
}

/** Share of the counters of two runs that both have, 0..1; 0 when they have none in common. */
function overlap(a: Span<unknown>, b: Span<unknown>): number {
  const shared_us = Math.min(a.last_us, b.last_us) - Math.max(a.first_us, b.first_us);
  if (!(shared_us >= 0)) return 0;
  const whole_us = Math.max(a.last_us, b.last_us) - Math.min(a.first_us, b.first_us);
  return whole_us > 0 ? Math.max(shared_us / whole_us, Number.MIN_VALUE) : 1;
}

/**
 * For each beam run the index of its partner, −1 for none: the order-keeping pairing with the largest sum of overlaps
 * (dynamic programming over both lists, as in sequence alignment).
 */
function pairInOrder(beams: readonly Span<unknown>[], others: readonly Span<unknown>[]): number[] {
  if (beams.length * others.length > MOST_PAIRS) return pairFirstFit(beams, others);
  const width = others.length + 1;
  const best = new Float64Array((beams.length + 1) * width);
  for (let b = beams.length - 1; b >= 0; b--) {
    for (let o = others.length - 1; o >= 0; o--) {
      const together = overlap(beams[b], others[o]);
      const paired = together > 0 ? together + best[(b + 1) * width + o + 1] : 0;
      best[b * width + o] = Math.max(paired, best[(b + 1) * width + o], best[b * width + o + 1]);
    }
  }
  const partners = beams.map(() => -1);
  let o = 0;
  for (let b = 0; b < beams.length && o < others.length; ) {
    const together = overlap(beams[b], others[o]);
    const here = best[b * width + o];
    if (together > 0 && here === together + best[(b + 1) * width + o + 1]) partners[b++] = o++;
    else if (here === best[b * width + o + 1]) o++;
    else b++;
  }
  return partners;
}

/** Pairs that the best pairing is sought among; logs of a season have some hundreds. Time and memory grow with them. */
const MOST_PAIRS = 1e6;

/** For each beam run the first other run behind the partner before that shares its counters. */
function pairFirstFit(beams: readonly Span<unknown>[], others: readonly Span<unknown>[]): number[] {
  let next = 0;
  return beams.map((beam) => {
    // one look at the next few: a run without a partner must not cost a walk to the end
    for (let o = next; o < Math.min(next + 100, others.length); o++) {
      if (overlap(beam, others[o]) === 0) continue;
      next = o + 1;
      return o;
    }
    return -1;
  });
}

/** The partner of a beam run and the unpaired runs next to it that carry the same counter on, in counter order. */
function withFollowers<Beam>(
  beam: Span<Beam>,
  partner: number,
  others: readonly Span<Beam>[],
  paired: ReadonlySet<number>,
): Span<Beam>[] {
  if (partner < 0) return [];
  const parts = [others[partner]];
  for (let o = partner + 1; o < others.length && !paired.has(o); o++) {
    const follows = others[o].first_us >= parts[parts.length - 1].last_us;
    if (!follows || overlap(beam, others[o]) === 0) break;
    parts.push(others[o]);
  }
  for (let o = partner - 1; o >= 0 && !paired.has(o); o--) {
    const leads = others[o].last_us <= parts[0].first_us;
    if (!leads || overlap(beam, others[o]) === 0) break;
    parts.unshift(others[o]);
  }
  return parts;
}

/** All of several runs but for their beams. */
function merge<Beam>(runs: readonly LoggerRun<Beam>[]): Omit<LoggerRun<Beam>, 'beam'> {
  return {
    source: [...new Set(runs.map((run) => run.source))].join(' + '),
    fixes: mergeColumns(runs.map((run) => run.fixes)),
    moisture: mergeColumns(runs.map((run) => run.moisture)),
    header: mergeColumns(runs.map((run) => run.header)),
    tilt: mergeColumns(runs.map((run) => run.tilt)),
  };
}

/** Rows of several tables with the same columns in counter order; equal counters keep the order of the tables. */
function mergeColumns<T extends { readonly tick_us: Float64Array }>(tables: readonly T[]): T {
  const filled = tables.filter((table) => table.tick_us.length > 0);
  if (filled.length < 2) return filled[0] ?? tables[0];
  return filled.reduce(mergeTwo);
}

function mergeTwo<T extends { readonly tick_us: Float64Array }>(a: T, b: T): T {
  const order = mergedOrder(a.tick_us, b.tick_us);
  const rowsOfA = a.tick_us.length;
  const columns = Object.keys(a).map((name) => {
    const [first, second] = [a, b].map((table) => table[name as keyof T] as Float64Array | Uint8Array);
    const column =
      first instanceof Uint8Array ? new Uint8Array(order.length) : new Float64Array(order.length);
    for (let i = 0; i < order.length; i++) {
      column[i] = order[i] < rowsOfA ? first[order[i]] : second[order[i] - rowsOfA];
    }
    return [name, column] as const;
  });
  return Object.fromEntries(columns) as unknown as T;
}

/** Rows of two ascending columns laid end to end in the order of their elements; of equal ones the first column's first. */
function mergedOrder(a: Float64Array, b: Float64Array): Int32Array {
  const order = new Int32Array(a.length + b.length);
  let i = 0;
  let j = 0;
  for (let k = 0; k < order.length; k++) order[k] = j >= b.length || a[i] <= b[j] ? i++ : a.length + j++;
  return order;
}
