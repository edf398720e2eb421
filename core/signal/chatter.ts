/**
 * Chaff and dust open and close the beam for fractions of a millisecond. Lit gaps inside a dark run are bridged and
 * dark blips that are too short to be a paddle are dropped, with thresholds found in the data: durations of chatter and
 * of paddles form two separate heaps on a logarithmic axis, and the threshold is the middle of the emptiest stretch above the
 * commonest chatter.
 */
import type { BeamEdges } from '../read/logger-run.ts';

export interface ChatterSolution {
  /** Lit gaps shorter than this are bridged, s. */
  readonly bridge_lit_s: number;
  /** Dark blips shorter than this are dropped, s. */
  readonly drop_dark_s: number;
}

/** Chatter never lasts longer than this share of a genuine lit gap or paddle, … */
const CHATTER_SHARE = 0.25;
/** … nor longer than this: chaff falls through the beam, whatever the chain does. */
const CHATTER_MAX_S = 0.003;
/** Resolution of the duration histogram. */
const BINS_PER_DECADE = 20;
/** Smallest duration told apart; loggers count whole microseconds. */
const SHORTEST_S = 1e-6;
/** A stopped elevator says nothing about paddles. */
const LONGEST_S = 20;
/** Smoothing of the histogram: half width in bins. */
const HALF_WIDTH_BINS = 2;

/** Thresholds from the durations between edges; `entered` numbers (ms) win. */
export function estimateChatter(
  edges: BeamEdges,
  entered: { readonly bridge_lit_ms?: number; readonly drop_dark_ms?: number } = {},
): ChatterSolution {
  const { bridge_lit_ms, drop_dark_ms } = entered;
  if (bridge_lit_ms !== undefined && drop_dark_ms !== undefined) {
    return { bridge_lit_s: bridge_lit_ms * 1e-3, drop_dark_s: drop_dark_ms * 1e-3 };
  }
  const [lit, dark] = durationsOf(edges);
  return {
    bridge_lit_s: bridge_lit_ms !== undefined ? bridge_lit_ms * 1e-3 : valley(lit),
    drop_dark_s: drop_dark_ms !== undefined ? drop_dark_ms * 1e-3 : valley(dark),
  };
}

/** How often one state lasted how long, by bin of the logarithmic axis. */
class Durations {
  readonly counts = new Float64Array(Math.ceil(Math.log10(LONGEST_S / SHORTEST_S) * BINS_PER_DECADE) + 1);
  readonly seconds = new Float64Array(this.counts.length);
  total_s = 0;
}

/** Durations of lit gaps and of dark runs, in one go over the edges. */
function durationsOf({ tick_us, dark }: BeamEdges): readonly [lit: Durations, dark: Durations] {
  const durations = [new Durations(), new Durations()] as const;
  const bins = binsOfMicroseconds();
  for (let i = 0; i + 1 < dark.length; i++) {
    if (dark[i] === dark[i + 1]) continue;
    const duration_us = tick_us[i + 1] - tick_us[i];
    const duration_s = duration_us * 1e-6;
    if (duration_s < SHORTEST_S || duration_s > LONGEST_S) continue;
    const bin = bins[duration_us] ?? binOf(duration_s);
    const of = durations[dark[i] === 0 ? 0 : 1];
    of.counts[bin]++;
    of.seconds[bin] += duration_s;
    of.total_s += duration_s;
  }
  return durations;
}

/** Emptiest duration between chatter and the genuine ones, s; half the shortest duration when there is no chatter; 0 without edges. */
function valley({ counts, seconds, total_s }: Durations): number {
  if (total_s === 0) return 0;
  // Chatter may outnumber paddles but never outlasts them: the median *by time* is a genuine duration.
  let genuine = 0;
  for (let sum_s = seconds[0]; sum_s < total_s / 2; sum_s += seconds[++genuine]);
  let shortest = 0;
  while (counts[shortest] === 0) shortest++;
  const last = Math.min(
    genuine - Math.round(-Math.log10(CHATTER_SHARE) * BINS_PER_DECADE),
    Math.floor(Math.log10(CHATTER_MAX_S / SHORTEST_S) * BINS_PER_DECADE),
  );
  if (shortest >= last) return Math.min(binStart(shortest), CHATTER_MAX_S) / 2;
  let commonest = shortest;
  for (let bin = shortest; bin <= last; bin++) if (counts[bin] > counts[commonest]) commonest = bin;
  return binStart(emptiest(counts, commonest, last) + 0.5);
}

/** Middle of the longest run of bins with the lowest smoothed count. */
function emptiest(counts: Float64Array, first: number, last: number): number {
  let lowest = Number.POSITIVE_INFINITY;
  let runStart = first;
  let best = first;
  let bestLength = 0;
  for (let bin = first; bin <= last; bin++) {
    let sum = 0;
    for (let k = bin - HALF_WIDTH_BINS; k <= bin + HALF_WIDTH_BINS; k++) sum += counts[Math.max(0, k)] ?? 0;
    if (sum < lowest) {
      lowest = sum;
      runStart = bin;
      bestLength = 0;
    } else if (sum > lowest) {
      runStart = bin + 1;
      continue;
    }
    const length = bin - runStart + 1;
    if (length > bestLength) {
      bestLength = length;
      best = runStart + (length - 1) / 2;
    }
  }
  return best;
}

/** Whole microseconds up to this are looked up: a tenth of a second, more than most gaps and paddles last. */
const LOOKED_UP_US = 1 << 17;
let lookedUp: Uint8Array | undefined;

/** Bin of each whole number of microseconds; reckoned once, for logarithms are slow and durations many. */
function binsOfMicroseconds(): Uint8Array {
  lookedUp ??= Uint8Array.from({ length: LOOKED_UP_US }, (_, us) => (us > 0 ? binOf(us * 1e-6) : 0));
  return lookedUp;
}

function binOf(duration_s: number): number {
  return Math.floor(Math.log10(duration_s / SHORTEST_S) * BINS_PER_DECADE);
}

function binStart(bin: number): number {
  return SHORTEST_S * 10 ** (bin / BINS_PER_DECADE);
}
