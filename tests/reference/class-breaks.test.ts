/** Natural breaks and other classes against published cases, and against R's classInt where the data are present. */
import { describe, expect, it } from 'vitest';
import { naturalBreaks } from '../../core/stats/natural-breaks.ts';
import { classLimits } from '../../core/surface/classes.ts';
import { referenceText } from './reference-data.ts';

describe('natural breaks of published cases', () => {
  it('finds the classes of the twelve numbers', () => {
    // Public test of Jenks' method: breaks 1.2, 2.3, 5.0, 7.8 (upper ends); squares within 1.6955, goodness 0.9716704
    const numbers = [1.3, 7.1, 7.3, 2.3, 3.9, 4.1, 7.8, 1.2, 4.3, 7.3, 5.0, 4.3];
    const found = naturalBreaks(numbers, 3);
    expect(found.limits).toEqual([3.9, 7.1]);
    expect(found.squares_within).toBeCloseTo(1.6955, 4);
    expect(found.goodness).toBeCloseTo(0.9716704, 7);
  });

  it('finds the classes of four numbers', () => {
    // By hand: 4 · 0.5² within, 26 in all
    const found = naturalBreaks([4, 5, 9, 10], 2);
    expect(found).toEqual({ limits: [9], squares_within: 1, goodness: 1 - 1 / 26 });
  });
});

const sample = referenceText('values/e_sample400.csv');
const figures = referenceText('values/e_breaks.json');

describe.runIf(sample !== undefined && figures !== undefined)('four hundred yields, R classInt 0.4-9', () => {
  const yields = (sample ?? '').trim().split('\n').slice(1).map(Number);
  const wanted = JSON.parse(figures ?? '{}');

  it('has the same best classes, 3 to 7', () => {
    for (const count of [3, 4, 5, 6, 7]) {
      const found = naturalBreaks(yields, count);
      const best = wanted[`k${count}`];
      expect(found.limits).toEqual([best.dp_first_value_of_upper_class].flat());
      expect(Math.abs(found.squares_within / best.SSW_dp - 1)).toBeLessThan(1e-9);
      expect(Math.abs(found.goodness - best.GVF)).toBeLessThan(1e-9);
    }
  });

  it('has the same quantiles and equal steps', () => {
    for (const count of [3, 4, 5, 6, 7]) {
      const limits = classLimits(yields, { method: 'quantile', count });
      const quantiles: number[] = wanted[`k${count}`].quantile7;
      limits.forEach((limit, i) => {
        expect(Math.abs(limit - quantiles[i + 1])).toBeLessThan(1e-9);
      });
      expect(limits).toHaveLength(count - 1);
    }
    classLimits(yields, { method: 'equal', count: 5 }).forEach((limit, i) => {
      expect(Math.abs(limit - wanted.equal5[i + 1])).toBeLessThan(1e-9);
    });
  });
});
