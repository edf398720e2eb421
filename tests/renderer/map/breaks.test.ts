import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantile } from '../../../core/stats/quantiles.ts';
import { BinnedOrder } from '../../../renderer/map/binned-order.ts';
import { breaksAboutZero, breaksOf, classIndex } from '../../../renderer/map/breaks.ts';

const numbers = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 400 });

describe('order statistics without sorting', () => {
  it('are those of the sorted column, whatever lies in it', () => {
    fc.assert(
      fc.property(numbers, (given) => {
        const sorted = Float64Array.from(given).sort();
        const order = new BinnedOrder(Float64Array.from([...given, Number.NaN, Infinity]));
        expect(order.count).toBe(given.length);
        for (let k = 0; k < sorted.length; k++) expect(order.at(k)).toBe(sorted[k]);
        for (const p of [0, 0.1, 1 / 3, 0.5, 0.98, 1])
          expect(order.quantile(p)).toBeCloseTo(quantile(sorted, p), 9);
      }),
    );
  });

  it('are right where one extreme takes all the bins', () => {
    const order = new BinnedOrder(Float64Array.of(1e9, 3, 1, 2, 5, 4));
    expect([0, 1, 2, 3, 4, 5].map((k) => order.at(k))).toEqual([1, 2, 3, 4, 5, 1e9]);
  });

  it('refuse what is not there', () => {
    expect(() => new BinnedOrder(Float64Array.of(1)).at(1)).toThrow(RangeError);
    expect(() => new BinnedOrder(Float64Array.of(1)).quantile(1.1)).toThrow(RangeError);
    expect(new BinnedOrder(new Float64Array(0)).quantile(0.5)).toBeNaN();
  });
});

describe('class limits', () => {
  /** 0, 1, … 1000: each way of making classes can be told in the head. */
  const even = Float64Array.from({ length: 1001 }, (_, i) => i);

  it('equal steps share the middle 96 %', () => {
    const { limits, low, high } = breaksOf(even, { method: 'equal', count: 4 });
    expect([low, high]).toEqual([20, 980]);
    expect(limits).toEqual([260, 500, 740]);
  });

  it('quantiles hold as many numbers each (definition 7)', () => {
    expect(breaksOf(even, { method: 'quantile', count: 5 }).limits).toEqual([200, 400, 600, 800]);
    const skew = even.map((x) => x ** 3);
    const { limits } = breaksOf(skew, { method: 'quantile', count: 5 });
    const counts = [0, 0, 0, 0, 0];
    for (const x of skew) counts[classIndex(limits, x)]++;
    expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
  });

  it('round steps have round limits', () => {
    expect(breaksOf(even, { method: 'round' }).limits).toEqual([100, 200, 300, 400, 500, 600, 700, 800, 900]);
  });

  it('standard deviations lie about the mean, a deviation apart', () => {
    const { limits } = breaksOf(even, { method: 'standard_deviation' });
    // Of 0 … n: mean n/2, variance n(n + 1)(2n + 1)/6/n − …, which for n + 1 numbers is (n + 1)(n + 2)/12.
    const sd = Math.sqrt((1001 * 1002) / 12);
    expect(limits.map((limit) => (limit - 500) / sd)).toEqual(
      [-1.5, -0.5, 0.5, 1.5].map((x) => expect.closeTo(x, 9)),
    );
  });

  it('natural breaks fall between clusters', () => {
    const clusters = Float64Array.from([1, 1.1, 0.9, 5, 5.1, 4.9, 9, 9.1, 8.9]);
    const { limits } = breaksOf(clusters, { method: 'natural', count: 3 });
    expect(limits).toHaveLength(2);
    expect(clusters.map((x) => classIndex(limits, x))).toEqual(
      Float64Array.from([0, 0, 0, 1, 1, 1, 2, 2, 2]),
    );
  });

  it('about zero are the same on both sides, the middle class on zero', () => {
    const { limits, low, high } = breaksAboutZero(Float64Array.from([-1, 4, 2, Number.NaN]), {
      method: 'round',
    });
    expect(low).toBe(-high);
    expect(limits).toEqual([...limits].reverse().map((limit) => -limit));
    expect(classIndex(limits, 0)).toBe(limits.length / 2);
    expect(breaksAboutZero(Float64Array.from([-1, 4]), { method: 'continuous' }).low).toBeLessThan(0);
  });

  it('do not break on columns that are empty or all the same', () => {
    for (const column of [new Float64Array(0), Float64Array.of(3, 3, 3), Float64Array.of(Number.NaN)]) {
      const { limits, low, high } = breaksOf(column, { method: 'quantile', count: 5 });
      expect(limits).toEqual([]);
      expect(high).toBeGreaterThan(low);
    }
    expect(breaksAboutZero(Float64Array.of(0, 0), { method: 'round' }).limits).toEqual([]);
  });

  it('rise and sort every number into a class between its limits, by every method', () => {
    const methods = ['equal', 'round', 'quantile', 'standard_deviation', 'natural'] as const;
    fc.assert(
      fc.property(numbers, fc.constantFrom(...methods), (given, method) => {
        const column = Float64Array.from(given);
        const { limits } = breaksOf(column, { method, count: 6 });
        for (let i = 1; i < limits.length; i++) expect(limits[i]).toBeGreaterThan(limits[i - 1]);
        for (const x of column) {
          const index = classIndex(limits, x);
          expect(x >= (limits[index - 1] ?? -Infinity) && x < (limits[index] ?? Infinity)).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
    expect(classIndex([1, 2], Number.NaN)).toBe(-1);
  });
});
