/** Tail of the normal distribution. */

/** Where the continued fraction takes over from the series. */
const SERIES_TO = 2.5;
const SERIES_TERMS = 80;
const FRACTION_STEPS = 120;
const DENSITY_AT_ZERO = 1 / Math.sqrt(2 * Math.PI);

/**
 * Probability that a standard normal variable lies beyond ±|z|. By the power series of Φ about zero for small |z|, and by
 * the continued fraction of Mills' ratio beyond [AbramowitzStegun1964 26.2.11, 26.2.14]: small tails keep their digits.
 */
export function normalTwoSidedTail(z: number): number {
  const x = Math.abs(z);
  const density = DENSITY_AT_ZERO * Math.exp((-x * x) / 2);
  if (x < SERIES_TO) {
    let term = x;
    let sum = x;
    for (let k = 1; k < SERIES_TERMS; k++) {
      term *= (x * x) / (2 * k + 1);
      sum += term;
    }
    return 1 - 2 * density * sum;
  }
  let fraction = x;
  for (let k = FRACTION_STEPS; k >= 1; k--) fraction = x + k / fraction;
  return (2 * density) / fraction;
}
