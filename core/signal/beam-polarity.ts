/**
 * Which way round the beam is logged. A paddle's underside is steel and passes at even intervals; the top of its heap is
 * grain and does not. If the edges logged as "went dark" come more evenly than those logged as "lit", the receiver's output
 * is inverted: what is logged as dark is light.
 */
import type { BeamEdges } from '../read/logger-run.ts';
import { quantile } from '../stats/quantiles.ts';

/**
 * Unevenness of "dark" edges over that of "lit" ones below which the beam is inverted. Simulated logs have 3.7 to 15 the
 * right way round, and so 1/15 to 1/3.7 the wrong way; an elevator that only ran empty has about 1.
 */
const INVERTED_RATIO = 0.5;
/** Intervals further than this share from the usual one are chatter, missed paddles or stops. */
const USUAL_SHARE = 0.3;
/** Heaps are uneven only while grain comes, so that the more uneven part is looked at. */
const UPPER_QUARTILE = 0.75;
/** Fewer say nothing; more add nothing. */
const FEWEST_INTERVALS = 500;
const MOST_INTERVALS = 40_000;

/** Whether a machine's beam is logged inverted, from the edges of all its runs. False where they do not tell. */
export function beamIsInverted(runs: readonly BeamEdges[]): boolean {
  const dark = unevenness(runs, 1);
  const lit = unevenness(runs, 0);
  return dark < INVERTED_RATIO * lit;
}

/** The same edges with dark and lit exchanged. */
export function invertedEdges(edges: BeamEdges): BeamEdges {
  return { tick_us: edges.tick_us, dark: edges.dark.map((dark) => 1 - dark) };
}

/** How much neighbouring intervals between edges of one kind differ, as a share of the usual one; NaN when there are too few. */
function unevenness(runs: readonly BeamEdges[], state: 0 | 1): number {
  const intervals = runs.map((edges) => intervalsBetween(edges, state));
  const stride = Math.ceil(intervals.reduce((sum, { length }) => sum + length, 0) / MOST_INTERVALS);
  const differences: number[] = [];
  for (const column of intervals) {
    const usual = quantile(column.subarray(0, MOST_INTERVALS), 0.5);
    const isUsual = (interval: number) => Math.abs(interval / usual - 1) < USUAL_SHARE;
    for (let i = 1; i < column.length; i += stride) {
      if (isUsual(column[i]) && isUsual(column[i - 1]))
        differences.push(Math.abs(column[i] - column[i - 1]) / usual);
    }
  }
  return differences.length < FEWEST_INTERVALS ? Number.NaN : quantile(differences, UPPER_QUARTILE);
}

function intervalsBetween({ tick_us, dark }: BeamEdges, state: 0 | 1): Float64Array {
  const intervals = new Float64Array(dark.length);
  let count = 0;
  let last_us = Number.NaN;
  for (let i = 0; i < dark.length; i++) {
    if (dark[i] !== state) continue;
    if (!Number.isNaN(last_us)) intervals[count++] = tick_us[i] - last_us;
    last_us = tick_us[i];
  }
  return intervals.slice(0, count);
}
