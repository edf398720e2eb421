import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MAD_TO_SD, median, quantile, scaledMad, sortedFinite } from '../../../core/stats/quantiles.ts';

describe('quantile', () => {
  test('definition 7 interpolates at (n − 1)p: worked by hand on 1, 2, 4, 8, 16', () => {
    const column = Float64Array.of(8, 1, 16, 2, 4);
    expect(quantile(column, 0)).toBe(1);
    expect(quantile(column, 0.1)).toBeCloseTo(1.4, 12);
    expect(quantile(column, 0.5)).toBe(4);
    expect(quantile(column, 0.9)).toBeCloseTo(12.8, 12);
    expect(quantile(column, 1)).toBe(16);
  });

  test('leaves NaN out, answers NaN to nothing, and refuses a probability outside 0..1', () => {
    expect(quantile([Number.NaN, 3, Number.NaN, 1], 0.5)).toBe(2);
    expect(quantile([], 0.5)).toBeNaN();
    expect(quantile([Number.NaN], 0.5)).toBeNaN();
    expect(() => quantile([1], 1.5)).toThrow(/not 1.5/);
  });

  test('does not touch its input', () => {
    const column = Float64Array.of(3, 1, 2);
    quantile(column, 0.5);
    expect([...column]).toEqual([3, 1, 2]);
  });

  test('grows with p and stays within the data', () => {
    const columns = fc.array(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), {
      minLength: 1,
      maxLength: 30,
    });
    fc.assert(
      fc.property(columns, fc.double({ min: 0, max: 1, noNaN: true }), (column, p) => {
        const at = quantile(column, p);
        expect(at).toBeGreaterThanOrEqual(Math.min(...column));
        expect(at).toBeLessThanOrEqual(Math.max(...column));
        expect(quantile(column, Math.min(1, p + 0.1))).toBeGreaterThanOrEqual(at);
      }),
    );
  });
});

describe('median and spread', () => {
  test('of an even number is the mean of the middle two', () => {
    expect(median([9, 1, 3, 5])).toBe(4);
  });

  test('one wild element leaves the scaled MAD alone', () => {
    expect(scaledMad([1, 2, 3, 4, 5])).toBeCloseTo(1.482602218505602, 12);
    expect(scaledMad([1, 2, 3, 4, 5e9])).toBeCloseTo(1.482602218505602, 12);
    expect(scaledMad([1, 2, 3], 0)).toBeCloseTo(2 * MAD_TO_SD, 12);
  });

  test('sorted columns hold finite elements only', () => {
    expect([...sortedFinite([2, Number.NaN, Number.POSITIVE_INFINITY, 1])]).toEqual([1, 2]);
  });
});
