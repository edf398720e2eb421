import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  inchFractionFromMm,
  inchText,
  lengthFromText,
  lengthText,
} from '../../../core/install/inch-fraction.ts';

describe('inch fractions', () => {
  it.each([
    // 1 in = 25.4 mm exactly [NIST SP 811 B.8]
    [44.45, 16, '1 3/4 in'],
    [1574.8, 16, '62 in'],
    [3.96875, 32, '5/32 in'],
    [19.05, 16, '3/4 in'],
    [-4.7625, 16, '−3/16 in'],
    [25.4 * (1 + 31 / 32), 16, '2 in'],
    [0, 16, '0 in'],
    [0.79375, 16, '1/16 in'],
    [-0.1, 16, '0 in'],
  ])('%f mm on a rule of %i parts is %s', (mm, parts, text) => {
    expect(inchText(inchFractionFromMm(mm, parts))).toBe(text);
  });

  it('are the nearest mark, in lowest terms, with what is left over', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -4000, max: 4000, noNaN: true }),
        fc.constantFrom(8, 16, 32, 64),
        (mm, parts) => {
          const { negative, whole, numerator, denominator, residual_mm } = inchFractionFromMm(mm, parts);
          const shown = (negative ? -1 : 1) * (whole + numerator / denominator) * 25.4;
          expect(Math.abs(shown + residual_mm - mm)).toBeLessThan(1e-9);
          expect(Math.abs(residual_mm)).toBeLessThanOrEqual(12.7 / parts + 1e-6);
          expect(parts % denominator).toBe(0);
          expect(numerator === 0 || numerator % 2 === 1).toBe(true);
        },
      ),
    );
  });

  it('show the residual where it can be seen on a rule', () => {
    expect(lengthText(45, 'us')).toBe('1 3/4 in (+0.6 mm)');
    expect(lengthText(44.45, 'us')).toBe('1 3/4 in');
    expect(lengthText(44.45, 'metric')).toBe('44.5 mm');
  });

  it('refuse what is no length or no rule', () => {
    expect(() => inchFractionFromMm(Number.NaN, 16)).toThrow(/number of mm, not NaN/);
    expect(() => inchFractionFromMm(1, 10)).toThrow(/not 10/);
  });

  it.each([
    ['3.5in', 88.9],
    ['3 1/2 in', 88.9],
    ['3-1/2"', 88.9],
    ['1/2', 12.7],
    ['3.5', 88.9],
    ['89mm', 89],
    ['8,9 cm', 89],
    ['1.6 m', 1600],
    ["5'", 1524],
  ])('%s is %f mm', (text, mm) => {
    expect(lengthFromText(text, 'us')).toBeCloseTo(mm, 9);
  });

  it('a bare number is in the units of the sheet, and words are none', () => {
    expect(lengthFromText('89', 'metric')).toBe(89);
    for (const text of ['', 'wide', '3 4', '-3', '1/2/3', '3in5'])
      expect(lengthFromText(text, 'us')).toBeNaN();
  });
});
