/** The F distribution, central and non-central, and with it power: the square of Student's t is an F with one degree above. */
import { gammaln } from 'simple-statistics';
import { incompleteBeta } from './incomplete-beta.ts';

/** Terms of the Poisson mixture whose weights are below this share are left out. */
const LEAST_WEIGHT = 1e-17;
/** The sum has some √λ terms, and strips that are alike to the last digit have a λ without end. */
const MOST_LAMBDA = 1e6;

/** P(F ≥ f), without subtraction from 1 [DLMF 8.17; AbramowitzStegun1964 26.6.2]. 1 for f ≤ 0, NaN for NaN. Throws RangeError for degrees that are none. */
export function fUpperTail(f: number, df1: number, df2: number): number {
  mustBeDegrees(df1, df2);
  if (Number.isNaN(f)) return Number.NaN;
  if (f <= 0) return 1;
  if (f === Number.POSITIVE_INFINITY) return 0;
  return incompleteBeta(df2 / (df2 + df1 * f), df2 / 2, df1 / 2);
}

/** The f with P(F ≥ f) = p, 0 < p < 1, by bisection. Throws RangeError for other p. */
export function fFromUpperTail(p: number, df1: number, df2: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`A probability lies between 0 and 1, not ${p}.`);
  let high = 1;
  while (fUpperTail(high, df1, df2) > p) high *= 2;
  let low = 0;
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return middle;
    if (fUpperTail(middle, df1, df2) > p) low = middle;
    else high = middle;
  }
}

/**
 * P(F ≥ f) of the non-central F: a Poisson(λ/2) mixture of beta distributions [JohnsonKotzBalakrishnan1995 eq 30.10]. With
 * df1 = 1 and λ = δ² it is P(|T| ≥ √f) of the non-central t. λ above 1e6 counts as 1e6: too low, never too high. Throws RangeError
 * for λ below zero.
 */
export function noncentralFUpperTail(f: number, df1: number, df2: number, lambda: number): number {
  mustBeDegrees(df1, df2);
  if (!(lambda >= 0)) throw new RangeError(`A non-centrality is 0 or more, not ${lambda}.`);
  if (f <= 0) return 1;
  const x = df2 / (df2 + df1 * f);
  const half = Math.min(lambda, MOST_LAMBDA) / 2;
  const tail = (j: number) => incompleteBeta(x, df2 / 2, df1 / 2 + j);
  // from the largest weight outwards, so that none of them underflows
  const centre = Math.floor(half);
  const top = Math.exp(-half + centre * Math.log(half || 1) - gammaln(centre + 1));
  let sum = top * tail(centre);
  let weight = top;
  for (let j = centre + 1; weight > LEAST_WEIGHT; j++) {
    weight *= half / j;
    sum += weight * tail(j);
  }
  weight = top;
  for (let j = centre; j > 0 && weight > LEAST_WEIGHT; j--) {
    weight *= j / half;
    sum += weight * tail(j - 1);
  }
  return Math.min(1, sum);
}

function mustBeDegrees(df1: number, df2: number): void {
  if (!(df1 > 0 && df2 > 0 && Number.isFinite(df1 + df2)))
    throw new RangeError(`F needs positive degrees of freedom, not ${df1} and ${df2}.`);
}
