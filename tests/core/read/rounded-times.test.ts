import { describe, expect, it } from 'vitest';
import { withoutRounding } from '../../../core/read/rounded-times.ts';

/** Unix seconds written as days since 1899-12-30 with so many decimals, and read again. */
function rounded(utc_s: Float64Array, decimals: number): Float64Array {
  return utc_s.map((utc) => (Number((utc / 86_400 + 25_569).toFixed(decimals)) - 25_569) * 86_400);
}

const START_S = 1_409_311_000;
const steady = (count: number, pace_s = 1) =>
  Float64Array.from({ length: count }, (_, k) => START_S + 0.3 + k * pace_s);
const worst = (a: Float64Array, b: Float64Array) =>
  a.reduce((most, x, i) => Math.max(most, Math.abs(x - b[i])), 0);

describe('times of days with few decimals', () => {
  it.each([
    ['a second', 1],
    ['two seconds', 2],
    ['a fifth of a second', 0.2],
  ])('are a record every so often again (%s)', (_, pace_s) => {
    const true_s = steady(2000, pace_s);
    expect(worst(rounded(true_s, 5), true_s)).toBeGreaterThan(0.4);
    expect(worst(withoutRounding(rounded(true_s, 5)), true_s)).toBeLessThan(0.02);
  });

  it('keep their pauses', () => {
    const true_s = steady(1000).map((t, k) => (k < 500 ? t : t + 47.3));
    expect(worst(withoutRounding(rounded(true_s, 5)), true_s)).toBeLessThan(0.05);
  });

  it('follow a pace that changes', () => {
    const true_s = steady(1200).map((t, k) => (k < 600 ? t : t + 0.4 * (k - 600)));
    const even_s = withoutRounding(rounded(true_s, 5));
    expect(worst(even_s, true_s)).toBeLessThan(0.6);
    expect(even_s.every((t, k) => k === 0 || t > even_s[k - 1])).toBe(true);
  });

  it('are left alone where they are not of that kind', () => {
    const seconds = steady(500).map(Math.floor);
    const lossy = seconds.filter((_, k) => k % 6 !== 0);
    for (const utc_s of [seconds, lossy, rounded(steady(500), 9), new Float64Array(), Float64Array.of(5)]) {
      expect(withoutRounding(utc_s)).toBe(utc_s);
    }
  });
});
