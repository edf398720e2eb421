import { gammaln } from 'simple-statistics';

/** Terms after which the continued fraction is given up; it needs about √max(a, b). */
const MOST_TERMS = 10_000;
const PRECISION = 1e-16;
/** Stands for a zero denominator in Lentz's method; any number far below 1e-16 does. */
const TINY = 1e-300;

/**
 * Regularised incomplete beta function I_x(a, b), from which Student's t and F come. Continued fraction by Lentz's
 * method [DLMF 8.17.22], mirrored where that converges faster [DLMF 8.17.4]. Relative error about 1e-13 for a, b up to 1e4.
 * (simple-statistics has no t or F distribution; the packages that do bring two hundred others with them.)
 *
 * @throws RangeError when x is outside 0..1 or a, b are not positive.
 */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (!(x >= 0 && x <= 1))
    throw new RangeError(`The incomplete beta function needs x from 0 to 1, not ${x}.`);
  if (!(a > 0 && b > 0)) throw new RangeError(`The incomplete beta function needs a, b > 0, not ${a}, ${b}.`);
  if (x === 0 || x === 1) return x;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(gammaln(a + b) - gammaln(a) - gammaln(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  return front * continuedFraction(x, a, b);
}

function continuedFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < PRECISION) break;
  }
  return fraction;
}

const away = (denominator: number): number => (Math.abs(denominator) < TINY ? TINY : denominator);
