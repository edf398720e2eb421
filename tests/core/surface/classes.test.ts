import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { naturalBreaks } from '../../../core/stats/natural-breaks.ts';
import { classesOf, classLimits } from '../../../core/surface/classes.ts';

/** Least squares within, by trying every way to cut. */
function leastSquares(sorted: readonly number[], count: number): number {
  const squares = (part: readonly number[]) => {
    const mean = part.reduce((sum, x) => sum + x, 0) / part.length;
    return part.reduce((sum, x) => sum + (x - mean) ** 2, 0);
  };
  if (count === 1 || sorted.length === 1) return squares(sorted);
  let least = squares(sorted);
  for (let cut = 1; cut < sorted.length; cut++)
    least = Math.min(least, squares(sorted.slice(0, cut)) + leastSquares(sorted.slice(cut), count - 1));
  return least;
}

describe('natural breaks', () => {
  it('are as good as the best of all ways to cut', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 1, maxLength: 12 }),
        fc.integer({ min: 1, max: 4 }),
        (numbers, count) => {
          const found = naturalBreaks(numbers, count);
          const sorted = numbers.toSorted((a, b) => a - b);
          expect(found.squares_within).toBeCloseTo(leastSquares(sorted, count), 9);
          const classes = classesOf(numbers, found.limits);
          expect(new Set(classes).size).toBe(found.limits.length + 1);
        },
      ),
      { seed: 3, numRuns: 200 },
    );
  });

  it('keep their digits far from zero, leave NaN out, and say nothing of nothing', () => {
    const far = [1, 2, 10, 11, 20, 21].map((x) => 1e9 + x);
    expect(naturalBreaks([...far, Number.NaN], 3)).toMatchObject({
      limits: [1e9 + 10, 1e9 + 20],
      squares_within: 1.5,
    });
    expect(naturalBreaks([], 3).limits).toEqual([]);
    expect(naturalBreaks([5, 5, 5], 3).limits).toEqual([]);
    expect(() => naturalBreaks([1], 0)).toThrow('there are no 0 classes');
  });
});

describe('classes', () => {
  const numbers = [0, 1, 2, 3, 4, 5, 6, 7, 8, 100];

  it('are limited as the method says', () => {
    expect(classLimits(numbers, { method: 'equal', count: 4 })).toEqual([25, 50, 75]);
    expect(classLimits(numbers, { method: 'quantile', count: 3 })).toEqual([3, 6]);
    expect(classLimits(numbers, { method: 'user', limits: [2, 9] })).toEqual([2, 9]);
    expect(classLimits([7, 7], { method: 'quantile' })).toEqual([]);
    expect(() => classLimits(numbers, { method: 'user', limits: [2, 2] })).toThrow('ascend');
    expect(() => classLimits(numbers, { method: 'equal', count: 21 })).toThrow('not 21');
  });

  it('lie evenly about the mean by standard deviations', () => {
    // mean 5, standard deviation 2 (n − 1): 3, 5, 7 and whatever leaves no class empty
    const about = [3, 3, 5, 5, 5, 5, 7, 7, 2, 8];
    const sd = Math.sqrt((4 * 4 + 9 + 9) / 9);
    const limits = classLimits(about, { method: 'standard_deviation', count: 4 });
    [5 - sd, 5, 5 + sd].forEach((limit, i) => {
      expect(limits[i]).toBeCloseTo(limit, 12);
    });
    expect(classLimits(about, { method: 'standard_deviation', count: 12 }).length).toBeLessThan(11);
  });

  it('hold what lies at or above their lower limit', () => {
    expect([...classesOf([Number.NaN, -5, 2, 3, 9, 10], [2, 9])]).toEqual([-1, 0, 1, 1, 2, 2]);
  });
});
