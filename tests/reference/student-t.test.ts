/** Student's t against R 4.2.2 `qt(0.975, df)` and `2*pt(-2.5, 7)`, printed to 12 decimals. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { incompleteBeta } from '../../core/stats/incomplete-beta.ts';
import { tFromTwoSidedP, twoSidedPFromT } from '../../core/stats/student-t.ts';

const QT_975: Readonly<Record<number, number>> = {
  1: 12.706204736175,
  2: 4.302652729749,
  3: 3.182446305284,
  4: 2.776445105198,
  5: 2.570581835636,
  6: 2.446911851145,
  7: 2.364624251593,
  8: 2.306004135204,
  9: 2.262157162798,
  10: 2.228138851986,
  15: 2.13144954556,
  20: 2.085963447266,
  30: 2.042272456301,
  60: 2.000297822014,
  120: 1.979930405082,
};

describe("Student's t", () => {
  test.each(Object.entries(QT_975))('97.5 %% quantile with %s degrees of freedom', (df, t) => {
    expect(Math.abs(tFromTwoSidedP(0.05, Number(df)) - t)).toBeLessThan(1e-11);
  });

  test('p value', () => {
    expect(Math.abs(twoSidedPFromT(2.5, 7) - 0.04099221858575)).toBeLessThan(1e-13);
    expect(twoSidedPFromT(-2.5, 7)).toBe(twoSidedPFromT(2.5, 7));
  });

  // One and two degrees of freedom have closed forms: 1 − (2/π)·atan t and 1 − t/√(2 + t²).
  test('closed forms, also far in the tail where subtraction from 1 would lose the digits', () => {
    expect(twoSidedPFromT(1e6, 1) / ((2 / Math.PI) * Math.atan(1e-6)) - 1).toBeCloseTo(0, 12);
    expect(twoSidedPFromT(3, 2)).toBeCloseTo(1 - 3 / Math.sqrt(11), 14);
  });

  test('quantile undoes p value, whole degrees of freedom or not', () => {
    const p = fc.double({ min: 1e-9, max: 0.999, noNaN: true });
    const df = fc.double({ min: 0.7, max: 400, noNaN: true });
    fc.assert(
      fc.property(p, df, (probability, degrees) => {
        expect(twoSidedPFromT(tFromTwoSidedP(probability, degrees), degrees) / probability).toBeCloseTo(1, 9);
      }),
    );
  });

  test('ends and refusals', () => {
    expect(tFromTwoSidedP(1, 3)).toBe(0);
    expect(tFromTwoSidedP(0, 3)).toBe(Number.POSITIVE_INFINITY);
    expect(twoSidedPFromT(Number.POSITIVE_INFINITY, 3)).toBe(0);
    expect(twoSidedPFromT(Number.NaN, 3)).toBeNaN();
    expect(() => twoSidedPFromT(1, 0)).toThrow(/not 0/);
    expect(() => tFromTwoSidedP(-0.1, 3)).toThrow(/not -0.1/);
  });
});

describe('incomplete beta', () => {
  // I_x(a, 1) = x^a and I_x(1, b) = 1 − (1 − x)^b [DLMF 8.17.7-8]; I_½(a, a) = ½ by symmetry.
  test('closed forms', () => {
    expect(incompleteBeta(0.3, 2.5, 1)).toBeCloseTo(0.3 ** 2.5, 14);
    expect(incompleteBeta(0.3, 1, 4)).toBeCloseTo(1 - 0.7 ** 4, 14);
    expect(incompleteBeta(0.5, 37.2, 37.2)).toBeCloseTo(0.5, 13);
    expect([incompleteBeta(0, 2, 3), incompleteBeta(1, 2, 3)]).toEqual([0, 1]);
    expect(() => incompleteBeta(1.1, 1, 1)).toThrow(/not 1.1/);
    expect(() => incompleteBeta(0.5, 0, 1)).toThrow(/not 0, 1/);
  });
});
