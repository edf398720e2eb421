/**
 * A clock for a beam file whose fixes share no counter with it: the pattern of work and rest is laid over itself. The beam
 * says when grain came, the fixes say when the machine drove straight on; the offset at which the two agree best is found
 * to about a second. The transport lag cannot be told from what is left of the offset, so a nominal one is assumed here
 * and the lag stage corrects the sum of both.
 */

import { crossCorrelation } from '../stats/cross-correlation.ts';
import type { TimedFixes } from '../track/track.ts';
import { driftOfPieces, type PieceOffset } from './pattern-drift.ts';
import { type TimedAmounts, workOfFixes } from './work-pattern.ts';

export interface ClockMatch {
  /** Season time of counter zero, s. */
  readonly zero_s: number;
  /** Correlation of the two patterns at the offset found, 0..1. */
  readonly agreement: number;
  /** Seconds that the clock gains on the counter, per second. */
  readonly drift: number;
  /** How far the drift that is left may lay the ends wrong, s (standard error); ∞ when too little overlaps to tell. */
  readonly end_se_s: number;
}

/** Grain is taken to arrive so long after the crop was cut: transport and mixing of a middling machine (published: 8–14 s [Beal & Tian 2001]). */
const NOMINAL_DELAY_S = 14;
/** First look: shorter than a turn, so that every pass shows. Longer only where a season has more such steps than `MOST_STEPS`. */
const COARSE_S = 4;
const MOST_STEPS = 2 ** 20;
const FINE_S = 1;
/** The second look reaches this many steps of the first to either side. */
const FINE_REACH = 3;
/** Patterns that agree less than this do not belong together; right ones reach 0.75 to 0.9 in simulated seasons. */
const MIN_AGREEMENT = 0.6;
const FEWEST_ROWS = 100;
/** Drift is seen in pieces of the pattern of this length: several passes and turns. */
const PIECE_S = 1800;
/** So far the offset of a piece may lie from that of the whole: a crystal's 100 ppm over two days and a half. */
const PIECE_REACH_S = 20;
/** More pieces do not sharpen the drift. */
const MOST_PIECES = 120;

/** Amounts summed in the steps of a uniform grid. */
interface Pattern {
  readonly start_s: number;
  readonly steps: Float64Array;
}

/**
 * `grain` holds counter times (s, ascending) and amounts of single paddles. The fixes may reach over many days: agreement
 * is judged over the time of the grain alone, time without fixes counting as rest. Undefined when the patterns agree
 * nowhere.
 */
export function matchClock(grain: TimedAmounts, fixes: TimedFixes): ClockMatch | undefined {
  const work = workOfFixes(fixes);
  if (grain.t_s.length < FEWEST_ROWS || work.t_s.length < FEWEST_ROWS) return undefined;
  let step_s = COARSE_S;
  while ((spanOf(grain) + spanOf(work)) / step_s > MOST_STEPS) step_s *= 2;
  const coarse = coarseOffset(binned(grain, step_s), binned(work, step_s), step_s);
  const fine = fineOffset(binned(grain, FINE_S), binned(work, FINE_S), coarse.offset_s, FINE_REACH * step_s);
  if (!(fine.agreement >= MIN_AGREEMENT)) return undefined;
  const { drift, at_s, offset_s, end_se_s } = driftOfPieces(
    piecesOf(binned(grain, FINE_S), binned(work, FINE_S), fine.offset_s),
    fine.offset_s,
  );
  const zero_s = offset_s - drift * at_s + NOMINAL_DELAY_S;
  return { zero_s, agreement: fine.agreement, drift, end_se_s };
}

function spanOf({ t_s }: TimedAmounts): number {
  return t_s[t_s.length - 1] - t_s[0];
}

function binned({ t_s, amount }: TimedAmounts, step_s: number): Pattern {
  const steps = new Float64Array(Math.floor((t_s[t_s.length - 1] - t_s[0]) / step_s) + 1);
  for (let i = 0; i < t_s.length; i++) {
    if (!Number.isNaN(amount[i])) steps[Math.floor((t_s[i] - t_s[0]) / step_s)] += amount[i];
  }
  return { start_s: t_s[0], steps };
}

/** Best offset (season time less counter time, grain's arrival taken as its cutting) of all at which the patterns overlap. */
function coarseOffset(grain: Pattern, work: Pattern, step_s: number) {
  const compare = comparison(grain, work);
  const products = crossCorrelation(compare.grain, work.steps);
  let best = { shift: 0, agreement: Number.NEGATIVE_INFINITY };
  products.forEach((product, k) => {
    const shift = k - (grain.steps.length - 1);
    const agreement = compare.agreement(shift, product);
    if (agreement > best.agreement) best = { shift, agreement };
  });
  return { offset_s: work.start_s - grain.start_s + best.shift * step_s, agreement: best.agreement };
}

/** The offset of each piece of the grain that agrees with the work on its own. */
function piecesOf(grain: Pattern, work: Pattern, offset_s: number): PieceOffset[] {
  const length = PIECE_S / FINE_S;
  const count = Math.floor(grain.steps.length / length);
  const stride = Math.max(1, Math.ceil(count / MOST_PIECES));
  const pieces: PieceOffset[] = [];
  for (let p = 0; p < count; p += stride) {
    const start_s = grain.start_s + p * PIECE_S;
    const piece = { start_s, steps: grain.steps.subarray(p * length, (p + 1) * length) };
    const from = Math.round(start_s + offset_s - work.start_s) - PIECE_REACH_S;
    const first = Math.max(0, from);
    const near = work.steps.subarray(first, Math.max(first, from + length + 2 * PIECE_REACH_S));
    if (near.length < length) continue;
    const found = fineOffset(
      piece,
      { start_s: work.start_s + first * FINE_S, steps: near },
      offset_s,
      PIECE_REACH_S,
    );
    const isInside = Math.abs(found.offset_s - offset_s) < PIECE_REACH_S - FINE_S;
    if (found.agreement >= MIN_AGREEMENT && isInside)
      pieces.push({ at_s: start_s + PIECE_S / 2, offset_s: found.offset_s });
  }
  return pieces;
}

/** The same in single steps about an offset, by plain sums. */
function fineOffset(grain: Pattern, work: Pattern, near_s: number, reach_s: number) {
  const compare = comparison(grain, work);
  const start_s = work.start_s - grain.start_s;
  const centre = Math.round((near_s - start_s) / FINE_S);
  const reach = Math.ceil(reach_s / FINE_S);
  let best = { offset_s: near_s, agreement: Number.NEGATIVE_INFINITY };
  for (let shift = centre - reach; shift <= centre + reach; shift++) {
    let product = 0;
    const last = Math.min(grain.steps.length, work.steps.length - shift);
    for (let i = Math.max(0, -shift); i < last; i++) product += compare.grain[i] * work.steps[i + shift];
    const agreement = compare.agreement(shift, product);
    if (agreement > best.agreement) best = { offset_s: start_s + shift * FINE_S, agreement };
  }
  return best;
}

/**
 * Pearson's correlation of `grain[i]` with `work[i + shift]` over all i, from the sum of products of the centred grain with
 * the work (its mean drops out against grain that sums to 0). −∞ where the work does not change within the grain's time.
 */
function comparison(grain: Pattern, work: Pattern) {
  const n = grain.steps.length;
  const mean = grain.steps.reduce((sum, x) => sum + x, 0) / n;
  const centred = grain.steps.map((x) => x - mean);
  const squares = centred.reduce((sum, x) => sum + x * x, 0);
  const sums = runningSums(work.steps);
  const sumsOfSquares = runningSums(work.steps.map((x) => x * x));
  const within = (running: Float64Array, shift: number) => {
    const end = running.length - 1;
    return running[Math.min(end, Math.max(0, shift + n))] - running[Math.min(end, Math.max(0, shift))];
  };
  return {
    grain: centred,
    agreement: (shift: number, product: number) => {
      const sum = within(sums, shift);
      const spread = within(sumsOfSquares, shift) - (sum * sum) / n;
      return spread > 0 && squares > 0 ? product / Math.sqrt(squares * spread) : Number.NEGATIVE_INFINITY;
    },
  };
}

/** Sum of the elements before each, and of all. */
function runningSums(column: Float64Array): Float64Array {
  const sums = new Float64Array(column.length + 1);
  for (let i = 0; i < column.length; i++) sums[i + 1] = sums[i] + column[i];
  return sums;
}
