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
  const [lit_us, dark_us] = intervalsBetween(edges);
  return { dark: unevenness(dark_us), lit: unevenness(lit_us) };
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

function unevenness(interval_us: Float64Array): Unevenness {
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

/** Times between an edge and the one before of the same state, of lit and of dark ones. */
function intervalsBetween({
  tick_us,
  dark,
}: BeamEdges): readonly [lit_us: Float64Array, dark_us: Float64Array] {
  let darkEdges = 0;
  for (let i = 0; i < dark.length; i++) darkEdges += dark[i];
  const darkIntervals = new Float64Array(darkEdges);
  const litIntervals = new Float64Array(dark.length - darkEdges);
  let lits = 0;
  let darks = 0;
  let lastLit_us = Number.NaN;
  let lastDark_us = Number.NaN;
  for (let i = 0; i < dark.length; i++) {
    const at_us = tick_us[i];
    if (dark[i] === 1) {
      if (!Number.isNaN(lastDark_us)) darkIntervals[darks++] = at_us - lastDark_us;
      lastDark_us = at_us;
    } else {
      if (!Number.isNaN(lastLit_us)) litIntervals[lits++] = at_us - lastLit_us;
      lastLit_us = at_us;
    }
  }
  return [litIntervals.subarray(0, lits), darkIntervals.subarray(0, darks)];
}
