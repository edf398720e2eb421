/**
 * Which way the elevator was turned by hand. An empty paddle looks the same from both sides; only the order of odd paddles on
 * the chain tells. The dark shares of the hand-turned paddles are laid along the signature found under power, forward and
 * backward, at every place of the chain.
 */
import { runningMedian } from '../signal/running-median.ts';
import type { ChainPlaces } from './chain-places.ts';
import type { Passages } from './paddle-passages.ts';

export type TurnDirection = 'forward' | 'backward' | 'untold';

/** The better way has to fit so well, and so much better than the other. */
const FITS = 0.45;
const BETTER = 0.17;
/** A dark share by hand is rough: it is cut off at so many times the usual. */
const MOST_RATIO = 2.5;

/** Needs at least a round of the chain turned by hand; undefined when there is none. */
export function turnDirection(byHand: Passages, places: ChainPlaces): TurnDirection | undefined {
  const { count, dark_by_place } = places;
  const hand = handMarks(byHand);
  if (hand.length < count) return undefined;
  const usual = meanOf(dark_by_place.filter((d) => !Number.isNaN(d)));
  // a missing paddle leaves no passage: only places that are there are in the order
  const signature = Float64Array.from(
    dark_by_place.filter((d) => !Number.isNaN(d)),
    (d) => d / usual - 1,
  );
  const forward = bestFit(hand, signature, 1);
  const backward = bestFit(hand, signature, -1);
  if (Math.max(forward, backward) < FITS || Math.abs(forward - backward) < BETTER) return 'untold';
  return forward > backward ? 'forward' : 'backward';
}

/** Dark time over the time around it, relative to the usual. */
function handMarks({ lead_s, trail_s }: Passages): Float64Array {
  const share = new Float64Array(Math.max(0, trail_s.length - 2));
  for (let i = 1; i + 1 < trail_s.length; i++)
    share[i - 1] = (2 * (trail_s[i] - lead_s[i])) / (lead_s[i + 1] - trail_s[i - 1]);
  const usual = runningMedian(share, 15);
  return share.map((s, i) => Math.min(MOST_RATIO, s / usual[i]) - 1);
}

function bestFit(hand: Float64Array, signature: Float64Array, way: 1 | -1): number {
  const n = signature.length;
  let best = -1;
  for (let start = 0; start < n; start++) {
    let product = 0;
    let a = 0;
    let b = 0;
    for (let i = 0; i < hand.length; i++) {
      const s = signature[(((start + way * i) % n) + n) % n];
      product += hand[i] * s;
      a += hand[i] ** 2;
      b += s * s;
    }
    if (a > 0 && b > 0) best = Math.max(best, product / Math.sqrt(a * b));
  }
  return best;
}

function meanOf(column: Float64Array): number {
  return column.reduce((sum, x) => sum + x, 0) / column.length;
}
