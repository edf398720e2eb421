import { describe, expect, test } from 'vitest';
import { mean, standardDeviation, weightedMean } from '../../../core/stats/moments.ts';

describe('moments', () => {
  test('worked by hand', () => {
    expect(mean([1, 2, Number.NaN, 6])).toBe(3);
    expect(weightedMean([1, 2, 6], [3, 1, 0])).toBe(1.25);
    expect(standardDeviation([2, 4, 4, 4, 5, 5, 7, 9])).toBeCloseTo(Math.sqrt(32 / 7), 14);
  });

  test('an offset of 1.7e9 costs no digits of the spread', () => {
    const offset = 1.7e9;
    expect(mean([offset + 0.25, offset + 0.5, offset + 0.75]) - offset).toBe(0.5);
    expect(standardDeviation([offset, offset + 1, offset + 2])).toBe(1);
  });

  test('nothing has no mean, one has no spread, lengths must agree', () => {
    expect(mean([])).toBeNaN();
    expect(standardDeviation([4])).toBeNaN();
    expect(() => weightedMean([1], [1, 2])).toThrow(/1 and 2/);
  });
});
