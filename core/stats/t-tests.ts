/** Student's t tests of two means, and their confidence intervals. Differences are a − b. */
import { mean, standardDeviation } from './moments.ts';
import { tFromTwoSidedP, twoSidedPFromT } from './student-t.ts';

export interface TTest {
  readonly difference: number;
  readonly se: number;
  readonly df: number;
  readonly t: number;
  /** Probability of a |t| as large by chance alone. */
  readonly p_two_sided: number;
}

/** Differences of pairs [Student1908]. Throws RangeError for columns of unequal length or fewer than two pairs. */
export function pairedTTest(a: ArrayLike<number>, b: ArrayLike<number>): TTest {
  if (a.length !== b.length || a.length < 2)
    throw new RangeError(`A paired test needs two pairs or more, not ${a.length} and ${b.length} numbers.`);
  const differences = Float64Array.from(a, (one, i) => one - b[i]);
  const n = differences.length;
  return tTest(mean(differences), standardDeviation(differences) / Math.sqrt(n), n - 1);
}

/**
 * Two independent groups whose spreads may differ [Welch1947]: `se² = s₁²/n₁ + s₂²/n₂`, degrees of freedom by
 * [Satterthwaite1946]. Throws RangeError for a group of fewer than two.
 */
export function welchTTest(a: ArrayLike<number>, b: ArrayLike<number>): TTest {
  if (a.length < 2 || b.length < 2)
    throw new RangeError(`Each group needs two numbers or more, not ${a.length} and ${b.length}.`);
  const [va, vb] = [a, b].map((group) => standardDeviation(group) ** 2 / group.length);
  const df = (va + vb) ** 2 / (va ** 2 / (a.length - 1) + vb ** 2 / (b.length - 1));
  return tTest(mean(a) - mean(b), Math.sqrt(va + vb), df);
}

/** The test of a difference with its standard error; p is 0 for a difference without error, and 1 for none with none. */
export function tTest(difference: number, se: number, df: number): TTest {
  const t = difference === 0 ? 0 : difference / se;
  return { difference, se, df, t, p_two_sided: Number.isFinite(df) ? twoSidedPFromT(t, df) : Number.NaN };
}

/** Interval that holds the true difference with probability `1 − alpha`. */
export function confidenceInterval({ difference, se, df }: TTest, alpha: number): readonly [number, number] {
  const half = se * tFromTwoSidedP(alpha, df);
  return [difference - half, difference + half];
}
