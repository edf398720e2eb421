import { describe, expect, test } from 'vitest';
import { halfSampleMode } from '../../../core/stats/half-sample-mode.ts';

describe('half-sample mode', () => {
  test('small samples by their rule', () => {
    expect(halfSampleMode([])).toBeNaN();
    expect(halfSampleMode([7, Number.NaN])).toBe(7);
    expect(halfSampleMode([1, 3])).toBe(2);
    expect(halfSampleMode([1, 2, 10])).toBe(1.5);
    expect(halfSampleMode([1, 9, 10])).toBe(9.5);
    expect(halfSampleMode([1, 2, 3])).toBe(2);
  });

  test('worked by hand: the densest half, then the densest half of that', () => {
    // Six elements: narrowest half 4, 4.1, 4.3 (width 0.3); of three, the closer two.
    expect(halfSampleMode([0, 4, 4.1, 4.3, 6, 20])).toBeCloseTo(4.05, 12);
  });

  test('finds the crowd although four in ten elements lie high above it', () => {
    const crowd = Array.from({ length: 60 }, (_, i) => 0.1 + 0.0001 * ((i * 7) % 11));
    const grain = Array.from({ length: 40 }, (_, i) => 0.3 + 0.01 * i);
    expect(halfSampleMode([...grain, ...crowd])).toBeCloseTo(0.1005, 3);
  });

  test('rounded data: of equally narrow halves the middle one', () => {
    expect(halfSampleMode([1, 2, 3, 4, 5, 6, 7, 8, 9])).toBe(5);
    expect(halfSampleMode([2, 2, 2, 2, 2, 2, 9])).toBe(2);
  });
});
