/**
 * Which way round the beam is logged. A paddle's underside is steel and passes at even intervals; the top of its heap is
 * grain and does not. If the edges logged as "went dark" come more evenly than those logged as "lit", the receiver's output
 * is inverted: what is logged as dark is light.
 */
import type { BeamEdges } from '../read/logger-run.ts';
import { quantile } from '../stats/quantiles.ts';

export type Polarity = 'as_logged' | 'inverted';

/** How uneven the edges of one kind come: how many neighbouring intervals were compared, and by how much they differ. */
export interface Unevenness {
  readonly count: number;
  /** Upper quartile of the differences, as a share of the usual interval; NaN when there are none. */
  readonly share: number;
}

/** By kind: edges at which the beam is logged as going dark, and as going lit. */
export interface BeamUnevenness {
  readonly dark: Unevenness;
  readonly lit: Unevenness;
}

/**
 * Unevenness of "dark" edges over that of "lit" ones below which the beam is inverted, and above whose inverse it is not.
 * Simulated logs have 3.7 to 15 the right way round, and so 1/15 to 1/3.7 the wrong way; an elevator that only ran empty
 * has about 1.
 */
const INVERTED_RATIO = 0.5;
/** Intervals further than this share from the usual one are chatter, missed paddles or stops. */
const USUAL_SHARE = 0.3;
/** Heaps are uneven only while grain comes, so that the more uneven part is looked at. */
const UPPER_QUARTILE = 0.75;
/** Fewer say nothing; more add nothing. */
const FEWEST_INTERVALS = 500;
const MOST_INTERVALS = 40_000;

/** What a run's edges tell; a part of a long run is enough. */
export function unevennessOf(edges: BeamEdges): BeamUnevenness {
  return { dark: unevenness(edges, 1), lit: unevenness(edges, 0) };
}

/** What one or several runs of a logger tell together; undefined where they do not tell. */
export function polarityOf(runs: readonly BeamUnevenness[]): Polarity | undefined {
  const ratio = pooled(runs.map(({ dark }) => dark)) / pooled(runs.map(({ lit }) => lit));
  if (ratio < INVERTED_RATIO) return 'inverted';
  return ratio > 1 / INVERTED_RATIO ? 'as_logged' : undefined;
}

/** Mean share by count; NaN when too little was compared. */
function pooled(parts: readonly Unevenness[]): number {
  let count = 0;
  let sum = 0;
  for (const part of parts) {
    if (part.count === 0) continue;
    count += part.count;
    sum += part.count * part.share;
  }
  return count < FEWEST_INTERVALS ? Number.NaN : sum / count;
}

function unevenness(edges: BeamEdges, state: 0 | 1): Unevenness {
  const interval_us = intervalsBetween(edges, state);
  const stride = Math.ceil(interval_us.length / MOST_INTERVALS);
  const usual_us = quantile(interval_us.subarray(0, MOST_INTERVALS), 0.5);
  const isUsual = (us: number) => Math.abs(us / usual_us - 1) < USUAL_SHARE;
  const differences: number[] = [];
  for (let i = 1; i < interval_us.length; i += stride) {
    if (isUsual(interval_us[i]) && isUsual(interval_us[i - 1]))
      differences.push(Math.abs(interval_us[i] - interval_us[i - 1]) / usual_us);
  }
  return { count: differences.length, share: quantile(differences, UPPER_QUARTILE) };
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
  return intervals.subarray(0, count);
}
