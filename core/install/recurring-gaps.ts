/** Missing paddles of a running season: places on the chain where round after round a paddle is missed. */
import type { TimedPaddles } from '../signal/flow.ts';

/** A place is missing when it was missed in so many of the rounds, … */
const MOST_ROUNDS = 0.5;
/** … of at least so many. */
const FEWEST_ROUNDS = 4;
/** Across more slots at once, or a stop, the place on the chain is lost. */
const COUNTABLE_SLOTS = 4;

/**
 * Places (from 0, counted from the first paddle of the longest stretch without a stop) that are missing. `slots` counts the
 * paddles that ought to have passed in each row.
 */
export function recurringGaps(
  { slots, period_s }: Pick<TimedPaddles, 'slots' | 'period_s'>,
  count: number,
): number[] {
  const { first, last } = longestStretch(slots, period_s);
  const missed = new Float64Array(count);
  let at = 0;
  for (let i = first + 1; i < last; i++) {
    for (let k = 1; k < slots[i]; k++) missed[(at + k) % count]++;
    at += slots[i];
  }
  const rounds = at / count;
  if (rounds < FEWEST_ROUNDS) return [];
  return [...missed.keys()].filter((place) => missed[place] >= MOST_ROUNDS * rounds);
}

function longestStretch(slots: Float64Array, period_s: Float64Array): { first: number; last: number } {
  let best = { first: 0, last: 0 };
  let first = 0;
  for (let i = 1; i <= slots.length; i++) {
    if (i < slots.length && slots[i] <= COUNTABLE_SLOTS && !Number.isNaN(period_s[i])) continue;
    if (i - first > best.last - best.first) best = { first, last: i };
    first = i;
  }
  return best;
}
