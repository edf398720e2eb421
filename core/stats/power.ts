/** Power of tests of means: how large a difference must be to be seen, and how many replicates it takes to see it. */
import { fFromUpperTail, noncentralFUpperTail } from './f-distribution.ts';

/** Probability that a two-sided t test at `alpha` rejects when the true difference is `delta` of its own standard errors. */
export function powerOfT(delta: number, df: number, alpha: number): number {
  return noncentralFUpperTail(fFromUpperTail(alpha, 1, df), 1, df, delta * delta);
}

/**
 * Probability that the F test of `groups` treatments rejects: λ = Σ(μᵢ − μ̄)² · replicates / σ² [Cohen1988 §8.2], `between` being
 * the sum of squares of the treatments' means about their mean and `error` the mean square of the error.
 */
export function powerOfF(
  between: number,
  error: number,
  replicates: number,
  degrees: { readonly treatments: number; readonly error: number },
  alpha: number,
): number {
  const limit = fFromUpperTail(alpha, degrees.treatments, degrees.error);
  return noncentralFUpperTail(limit, degrees.treatments, degrees.error, (replicates * between) / error);
}

/** Of its own standard errors: no trial is as sure of a difference. */
const MOST_SHARE = 1000;

/**
 * True difference, in its own standard errors, that a two-sided t test at `alpha` sees with probability `power`; infinite where a
 * thousand of them do not. Throws RangeError for a power not above alpha.
 */
export function detectableShare(df: number, alpha: number, power: number): number {
  if (!(power > alpha && power < 1)) throw new RangeError(`A power lies between alpha and 1, not ${power}.`);
  let high = 1;
  while (powerOfT(high, df, alpha) < power) {
    if (high > MOST_SHARE) return Number.POSITIVE_INFINITY;
    high *= 2;
  }
  let low = 0;
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (powerOfT(middle, df, alpha) < power) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** More strips than this nobody lays out. */
const MOST_REPLICATES = 200;

/**
 * Fewest replicates with which a difference is seen with probability `power`: `errorOf(n)` gives standard error and degrees of
 * freedom of the difference of two means of n replicates each. `undefined` above `MOST_REPLICATES`.
 */
export function replicatesNeeded(
  difference: number,
  errorOf: (replicates: number) => { readonly se: number; readonly df: number },
  alpha: number,
  power: number,
): number | undefined {
  for (let n = 2; n <= MOST_REPLICATES; n++) {
    const { se, df } = errorOf(n);
    if (df >= 1 && powerOfT(Math.abs(difference) / se, df, alpha) >= power) return n;
  }
  return undefined;
}
