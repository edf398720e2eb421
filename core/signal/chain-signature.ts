/**
 * The chain's signature: with N paddles on the chain, the dark fractions of the empty-running elevator folded modulo N
 * show which paddle is bent or worn. A bent paddle lifts the mean of the empty level by its extra darkness over N.
 */

import { median, scaledMad } from '../stats/quantiles.ts';
import type { TimedPaddles } from './flow.ts';

export interface BentPaddle {
  /** Position on the chain, counted from 0 at the first paddle of the longest empty spell. */
  readonly slot: number;
  readonly extra_dark_fraction: number;
}

export interface ChainSignature {
  readonly paddles_on_chain: number;
  /** Mean over the chain of what bent paddles add to the mode of the empty level. */
  readonly mean_extra_dark_fraction: number;
  readonly bent: readonly BentPaddle[];
  /** Revolutions of the chain that were folded. */
  readonly revolutions: number;
}

/** A slot is odd when its median lies so many standard errors off the chain's mode … */
const ODD_STANDARD_ERRORS = 6;
/** … and by at least this dark fraction, so that a very long log does not find meaning in nothing. */
const ODD_DARK_FRACTION = 0.004;
/** Fewer revolutions cannot be told from chance. */
const MIN_REVOLUTIONS = 4;

/** Row range [first, last) of the paddle columns with the mode of its empty level. */
interface Stretch {
  readonly first: number;
  readonly last: number;
  readonly mode: number;
}

/** So many paddles missed at once can be counted; across more, or a stop, the place on the chain is lost. */
const COUNTABLE_SLOTS = 4;

/**
 * Folds the longest empty spell. `spells` are row ranges [first, last) of the paddle columns with their mode.
 * Undefined when no spell lasts `MIN_REVOLUTIONS`.
 */
export function chainSignature(
  paddles: Pick<TimedPaddles, 'dark_fraction' | 'slots' | 'period_s'>,
  spells: readonly Stretch[],
  paddlesOnChain: number,
): ChainSignature | undefined {
  let longest: Stretch | undefined;
  for (const stretch of spells.flatMap((spell) => countedStretches(paddles, spell))) {
    if (longest === undefined || stretch.last - stretch.first > longest.last - longest.first)
      longest = stretch;
  }
  if (longest === undefined || longest.last - longest.first < MIN_REVOLUTIONS * paddlesOnChain)
    return undefined;

  const bySlot: number[][] = Array.from({ length: paddlesOnChain }, () => []);
  let position = 0;
  for (let i = longest.first; i < longest.last; i++) {
    if (i > longest.first) position += paddles.slots[i];
    if (paddles.slots[i] !== 1 || Number.isNaN(paddles.dark_fraction[i])) continue;
    bySlot[position % paddlesOnChain].push(paddles.dark_fraction[i] - longest.mode);
  }
  const medians = bySlot.map((off) => (off.length > 0 ? median(off) : 0));
  const spreads = bySlot.map((off, slot) => scaledMad(off, medians[slot]));
  const noise = median(spreads);
  const bent: BentPaddle[] = [];
  let extra = 0;
  for (let slot = 0; slot < paddlesOnChain; slot++) {
    const count = bySlot[slot].length;
    const standardError = (1.2533 * noise) / Math.sqrt(Math.max(1, count));
    if (Math.abs(medians[slot]) < Math.max(ODD_DARK_FRACTION, ODD_STANDARD_ERRORS * standardError)) continue;
    bent.push({ slot, extra_dark_fraction: medians[slot] });
    extra += medians[slot];
  }
  return {
    paddles_on_chain: paddlesOnChain,
    mean_extra_dark_fraction: extra / paddlesOnChain,
    bent,
    revolutions: (longest.last - longest.first) / paddlesOnChain,
  };
}

/** Parts of a spell in which every paddle was counted. */
function countedStretches(
  { slots, period_s }: Pick<TimedPaddles, 'slots' | 'period_s'>,
  { first, last, mode }: Stretch,
): Stretch[] {
  const stretches: Stretch[] = [];
  let from = first;
  for (let i = first; i < last; i++) {
    if (slots[i] <= COUNTABLE_SLOTS && !Number.isNaN(period_s[i])) continue;
    stretches.push({ first: from, last: i, mode });
    from = i;
  }
  stretches.push({ first: from, last, mode });
  return stretches;
}
