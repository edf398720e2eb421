/** Student's t distribution. Degrees of freedom need not be whole. */
import { incompleteBeta } from './incomplete-beta.ts';

/**
 * P(|T| ≥ |t|): the two-sided p value, accurate in the far tail too (no subtraction from 1).
 * [DLMF 8.17; AbramowitzStegun1964 26.7.1]: I_x(df/2, 1/2) at x = df/(df + t²). NaN for a NaN t.
 * @throws RangeError when df is not positive.
 */
export function twoSidedPFromT(t: number, df: number): number {
  refuseBadDegrees(df);
  if (Number.isNaN(t)) return Number.NaN;
  if (!Number.isFinite(t)) return 0;
  return incompleteBeta(df / (df + t * t), df / 2, 0.5);
}

/**
 * The t that P(|T| ≥ t) = p, e.g. `tFromTwoSidedP(0.05, df)` for a 95 % interval. Bisection on the logarithm of t:
 * slow and sure, full precision. p = 1 gives 0, p = 0 infinity.
 * @throws RangeError when p is outside 0..1 or df is not positive.
 */
export function tFromTwoSidedP(p: number, df: number): number {
  refuseBadDegrees(df);
  if (!(p >= 0 && p <= 1)) throw new RangeError(`A p value lies between 0 and 1, not ${p}.`);
  if (p === 1) return 0;
  if (p === 0) return Number.POSITIVE_INFINITY;
  let low = 1e-300;
  let high = 1e300;
  for (;;) {
    // The geometric mean halves the exponent range first, the arithmetic mean the digits.
    const middle = high > 2 * low ? Math.sqrt(low) * Math.sqrt(high) : low + (high - low) / 2;
    if (middle <= low || middle >= high) return middle;
    if (twoSidedPFromT(middle, df) > p) low = middle;
    else high = middle;
  }
}

function refuseBadDegrees(df: number): void {
  if (!(df > 0 && Number.isFinite(df)))
    throw new RangeError(`Student's t needs a positive number of degrees of freedom, not ${df}.`);
}
