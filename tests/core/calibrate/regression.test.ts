import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { estimateHuber } from '../../../core/calibrate/huber.ts';
import { applyRegression, estimateRegression, predictionFrom } from '../../../core/calibrate/regression.ts';
import { estimateTheilSen } from '../../../core/calibrate/theil-sen.ts';

const x = Float64Array.of(1, 2, 3, 4, 6);
const y = Float64Array.of(2.1, 3.9, 6.2, 7.8, 12.3);
const fitted = (...of: Parameters<typeof estimateRegression>) => {
  const answer = estimateRegression(...of);
  if (!answer.ok) throw new Error(answer.error.text);
  return answer.value;
};

describe('regression', () => {
  test('leave-one-out residual is the residual of the fit without that observation', () => {
    const w = Float64Array.of(1, 2, 0.5, 3, 1);
    const without = (column: Float64Array, i: number) => column.filter((_, at) => at !== i);
    for (const intercept of ['fitted', 'none'] as const) {
      const all = fitted({ columns: [x], intercept }, y, w);
      for (let i = 0; i < y.length; i++) {
        const others = fitted({ columns: [without(x, i)], intercept }, without(y, i), without(w, i));
        expect(all.loo_residuals[i]).toBeCloseTo(y[i] - applyRegression(others, [x[i]]), 12);
        const spread = predictionFrom(others, [x[i]], { weight: w[i] }).standard_error;
        const s = Math.hypot(spread, others.residual_sd / Math.sqrt(w[i]));
        expect(all.studentised[i]).toBeCloseTo(all.loo_residuals[i] / s, 10);
      }
    }
  });

  test('hat values add up to the number of coefficients', () => {
    for (const intercept of ['fitted', 'none'] as const) {
      const { leverage, coefficients } = fitted({ columns: [x, x.map((e) => e * e)], intercept }, y);
      expect(leverage.reduce((a, b) => a + b)).toBeCloseTo(coefficients.length, 12);
    }
  });

  test('the unit of a column changes its coefficient only', () => {
    const scale = fc.double({ min: 1e-9, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(scale, (unit) => {
        const here = fitted({ columns: [x], intercept: 'fitted' }, y);
        const there = fitted({ columns: [x.map((e) => e * unit)], intercept: 'fitted' }, y);
        expect((there.coefficients[1] * unit) / here.coefficients[1]).toBeCloseTo(1, 11);
        expect(there.residual_sd / here.residual_sd).toBeCloseTo(1, 10);
      }),
    );
  });

  test('a weight of two is the observation twice', () => {
    const once = fitted({ columns: [x], intercept: 'fitted' }, y, Float64Array.of(1, 1, 2, 1, 1));
    const twice = fitted(
      { columns: [Float64Array.of(...x, x[2])], intercept: 'fitted' },
      Float64Array.of(...y, y[2]),
    );
    for (const j of [0, 1]) expect(once.coefficients[j]).toBeCloseTo(twice.coefficients[j], 12);
  });

  test('as many observations as coefficients: a fit without errors', () => {
    const line = fitted({ columns: [Float64Array.of(1, 3)], intercept: 'fitted' }, Float64Array.of(5, 9));
    expect(line.coefficients[0]).toBeCloseTo(3, 12);
    expect(line.coefficients[1]).toBeCloseTo(2, 12);
    expect(line.residual_sd).toBeNaN();
    expect(line.loo_residuals[0]).toBeNaN();
    expect(predictionFrom(line, [2]).confidence_half_width).toBeNaN();
  });

  test('too few, or columns that say the same, is an answer and not a crash', () => {
    const few = estimateRegression(
      { columns: [Float64Array.of(1)], intercept: 'fitted' },
      Float64Array.of(1),
    );
    expect(few).toMatchObject({ ok: false, error: { code: 'too_few_observations' } });
    for (const other of [x.map((e) => 3 * e), x.map((e) => 1e9 * e), new Float64Array(5)])
      expect(estimateRegression({ columns: [x, other], intercept: 'none' }, y)).toMatchObject({
        ok: false,
        error: { code: 'dependent_columns' },
      });
    const constant = new Float64Array(5).fill(1.7e9);
    expect(estimateRegression({ columns: [constant], intercept: 'fitted' }, y).ok).toBe(false);
  });

  test("the caller's mistakes are refused with the number", () => {
    const design = { columns: [x], intercept: 'none' } as const;
    expect(() => estimateRegression(design, Float64Array.of(1, 2))).toThrow(/5 and 2/);
    expect(() =>
      estimateRegression(
        design,
        y.map((e, i) => (i === 2 ? Number.NaN : e)),
      ),
    ).toThrow(/NaN/);
    expect(() => estimateRegression(design, y, new Float64Array(5))).toThrow(/not 0/);
  });
});

describe('robust lines', () => {
  test('Huber holds where one y in five is wild', () => {
    const wild = y.slice();
    wild[1] = 60;
    const answer = estimateHuber({ columns: [x], intercept: 'none' }, wild);
    if (!answer.ok) throw new Error(answer.error.text);
    expect(answer.value.coefficients[0]).toBeGreaterThan(1.9);
    expect(answer.value.coefficients[0]).toBeLessThan(2.2);
    expect(answer.value.weights[1]).toBeLessThan(0.05);
  });

  test('Huber on a perfect line stops at once', () => {
    const answer = estimateHuber(
      { columns: [x], intercept: 'none' },
      x.map((e) => 2 * e),
    );
    expect(answer).toMatchObject({ ok: true, value: { scale: 0 } });
  });

  test('Theil–Sen ignores a wild point, NaN, and pairs of equal x', () => {
    const line = estimateTheilSen(
      Float64Array.of(1, 2, 3, 4, 4, 5, 6),
      Float64Array.of(3, 5, 7, 9, 9, 500, Number.NaN),
    );
    expect(line).toEqual({ slope: 2, intercept: 1 });
    expect(estimateTheilSen(Float64Array.of(1, 1), Float64Array.of(1, 2)).slope).toBeNaN();
    expect(() => estimateTheilSen(x, Float64Array.of(1))).toThrow(/5 and 1/);
  });
});
