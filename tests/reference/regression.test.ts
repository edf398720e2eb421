/** Regression against NIST's certified values, R, and published data sets. */
import { describe, expect, test } from 'vitest';
import { estimateHuber } from '../../core/calibrate/huber.ts';
import {
  estimateRegression,
  predictionFrom,
  type RegressionDesign,
  type RegressionSolution,
} from '../../core/calibrate/regression.ts';
import { estimateTheilSen } from '../../core/calibrate/theil-sen.ts';
import {
  COMPUTED_BY_R,
  HUBER_BY_MASS,
  MONITOR_KG,
  NEW_MONITOR_KG,
  SCALE_KG,
  THEIL_SEN_BY_R,
} from './nine-loads.ts';
import { NO_INT_1, NO_INT_2, NORRIS, PONTIUS } from './nist-regression.ts';

const column = (numbers: readonly number[]) => Float64Array.from(numbers);
const fitted = (design: RegressionDesign, y: readonly number[], weights?: readonly number[]) => {
  const answer = estimateRegression(design, column(y), weights && column(weights));
  if (!answer.ok) throw new Error(answer.error.text);
  return answer.value;
};
/** Correct significant digits, as NIST counts them: −log10 of the relative error. */
const digits = (found: number, certified: number) =>
  found === certified ? 16 : -Math.log10(Math.abs(found - certified) / Math.abs(certified));

describe('NIST StRD, to at least nine of the certified digits', () => {
  test.each([NORRIS, NO_INT_1, NO_INT_2, PONTIUS])('$name', (set) => {
    const solution = fitted({ columns: set.columns.map(column), intercept: set.intercept }, set.y);
    for (const [j, certified] of set.coefficients.entries()) {
      expect(digits(solution.coefficients[j], certified)).toBeGreaterThan(9);
      expect(digits(solution.standard_errors[j], set.standard_errors[j])).toBeGreaterThan(9);
    }
    expect(digits(solution.residual_sd, set.residual_sd)).toBeGreaterThan(9);
    expect(digits(solution.r2, set.r2)).toBeGreaterThan(14);
  });

  // In tenths, so that the moved numbers are whole and nothing is rounded before the fit.
  test('Norris in tenths with x moved by 1.7e9 keeps nine digits of slope, its error and that of a prediction', () => {
    const tenths = NORRIS.columns[0].map((x) => Math.round(10 * x));
    const line = (x: readonly number[]) => fitted({ columns: [column(x)], intercept: 'fitted' }, NORRIS.y);
    const moved = line(tenths.map((x) => x + 1.7e9));
    expect(digits(10 * moved.coefficients[1], NORRIS.coefficients[1])).toBeGreaterThan(9);
    expect(digits(10 * moved.standard_errors[1], NORRIS.standard_errors[1])).toBeGreaterThan(9);
    expect(digits(moved.residual_sd, NORRIS.residual_sd)).toBeGreaterThan(9);
    const there = predictionFrom(moved, [1.7e9 + 5000]);
    const here = predictionFrom(line(tenths), [5000]);
    expect(digits(there.standard_error, here.standard_error)).toBeGreaterThan(9);
    expect(digits(there.fitted, here.fitted)).toBeGreaterThan(9);
  });

  test('Pontius with x moved by 1.7e9 beside its square as it was keeps nine digits of both slopes', () => {
    const [x, square] = PONTIUS.columns;
    const moved = fitted(
      { columns: [column(x.map((load) => load + 1.7e9)), column(square)], intercept: 'fitted' },
      PONTIUS.y,
    );
    for (const j of [1, 2]) {
      expect(digits(moved.coefficients[j], PONTIUS.coefficients[j])).toBeGreaterThan(9);
      expect(digits(moved.standard_errors[j], PONTIUS.standard_errors[j])).toBeGreaterThan(9);
    }
    expect(digits(moved.residual_sd, PONTIUS.residual_sd)).toBeGreaterThan(9);
  });
});

describe('nine invented loads against R', () => {
  const x = column(MONITOR_KG);
  const weights = MONITOR_KG.map((kg) => 1 / kg);
  const designs = {
    origin: [{ columns: [x], intercept: 'none' }],
    intercept: [{ columns: [x], intercept: 'fitted' }],
    weighted_origin: [{ columns: [x], intercept: 'none' }, weights],
    weighted_intercept: [{ columns: [x], intercept: 'fitted' }, weights],
    quadratic: [{ columns: [x, x.map((kg) => kg * kg)], intercept: 'fitted' }],
  } as const satisfies Record<string, readonly [RegressionDesign, (readonly number[])?]>;

  const close = (found: ArrayLike<number>, computed: readonly number[]) => {
    expect(found.length).toBe(computed.length);
    for (const [i, theirs] of computed.entries())
      expect(Math.abs(found[i] - theirs)).toBeLessThanOrEqual(1e-8 * Math.abs(theirs));
  };

  test.each(Object.keys(designs) as (keyof typeof designs)[])('%s', (name) => {
    const [design, w] = designs[name];
    const solution: RegressionSolution = fitted(design, SCALE_KG, w);
    const theirs = COMPUTED_BY_R[name];
    for (const key of [
      'coefficients',
      'standard_errors',
      'covariance',
      'residuals',
      'leverage',
      'standardised',
      'studentised',
      'cooks_distance',
      'loo_residuals',
    ] as const)
      close(solution[key], theirs[key]);
    close([solution.residual_sd, solution.r2], [theirs.residual_sd, theirs.r2]);
    const predictions = NEW_MONITOR_KG.map((kg) =>
      predictionFrom(solution, design.columns.length === 2 ? [kg, kg * kg] : [kg]),
    );
    close(
      predictions.map((p) => p.fitted),
      theirs.confidence_95.map(([fit]) => fit),
    );
    close(
      predictions.map((p) => p.confidence_half_width),
      theirs.confidence_95.map(([, half]) => half),
    );
    close(
      predictions.map((p) => p.prediction_half_width),
      theirs.prediction_95,
    );
  });

  // R: sqrt(mean((residuals/(1 - hatvalues))^2)), and the same from nine refits
  test.each([
    ['origin', 379.293403036595],
    ['intercept', 384.206500685306],
    ['weighted_intercept', 386.363842014356],
    ['weighted_origin', 379.458787827343],
    ['quadratic', 425.414086996569],
  ] as const)('leave-one-out error, %s', (name, theirs) => {
    const [design, w] = designs[name];
    const { loo_residuals } = fitted(design, SCALE_KG, w);
    const mean_square = loo_residuals.reduce((sum, e) => sum + e * e, 0) / loo_residuals.length;
    expect(Math.abs(Math.sqrt(mean_square) / theirs - 1)).toBeLessThan(1e-8);
  });

  test('influence: coefficients are the influences times y', () => {
    for (const [design, w] of [
      designs.origin,
      designs.weighted_origin,
      designs.weighted_intercept,
    ] as const) {
      const { influence, coefficients } = fitted(design, SCALE_KG, w);
      const slope = influence[0].reduce((sum, each, i) => sum + each * SCALE_KG[i], 0);
      expect(slope / coefficients[coefficients.length - 1]).toBeCloseTo(1, 10);
    }
  });

  test('through the origin with weights 1/x the slope is the ratio of the sums', () => {
    const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b);
    expect(fitted(designs.weighted_origin[0], SCALE_KG, weights).coefficients[0]).toBeCloseTo(
      sum(SCALE_KG) / sum(MONITOR_KG),
      12,
    );
  });

  test.each(['fitted', 'none'] as const)('Huber, intercept %s', (intercept) => {
    const answer = estimateHuber({ columns: [x], intercept }, column(SCALE_KG));
    if (!answer.ok) throw new Error(answer.error.text);
    const theirs = HUBER_BY_MASS[intercept === 'fitted' ? 'intercept' : 'none'];
    for (const [j, coefficient] of theirs.coefficients.entries())
      expect(answer.value.coefficients[j] / coefficient).toBeCloseTo(1, 4);
    expect(answer.value.scale / theirs.scale).toBeCloseTo(1, 4);
    expect(answer.value.weights[5]).toBeCloseTo(theirs.weight_of_load_6, 4);
    expect([...answer.value.weights].filter((w) => w === 1)).toHaveLength(8);
  });

  test('Theil–Sen', () => {
    const line = estimateTheilSen(x, column(SCALE_KG));
    expect(line.slope).toBeCloseTo(THEIL_SEN_BY_R.slope, 11);
    expect(line.intercept).toBeCloseTo(THEIL_SEN_BY_R.intercept, 7);
  });
});

describe('stack loss (Brownlee 1965)', () => {
  const rows = [
    [80, 27, 89, 42],
    [80, 27, 88, 37],
    [75, 25, 90, 37],
    [62, 24, 87, 28],
    [62, 22, 87, 18],
    [62, 23, 87, 18],
    [62, 24, 93, 19],
    [62, 24, 93, 20],
    [58, 23, 87, 15],
    [58, 18, 80, 14],
    [58, 18, 89, 14],
    [58, 17, 88, 13],
    [58, 18, 82, 11],
    [58, 19, 93, 12],
    [50, 18, 89, 8],
    [50, 18, 86, 7],
    [50, 19, 72, 8],
    [50, 19, 79, 8],
    [50, 20, 80, 9],
    [56, 20, 82, 15],
    [70, 20, 91, 15],
  ];
  const design: RegressionDesign = {
    columns: [0, 1, 2].map((j) => column(rows.map((row) => row[j]))),
    intercept: 'fitted',
  };
  const loss = rows.map((row) => row[3]);

  test('least squares as printed, to four decimals', () => {
    const solution = fitted(design, loss);
    for (const [j, printed] of [-39.9197, 0.7156, 1.2953, -0.1521].entries())
      expect(Math.abs(solution.coefficients[j] - printed)).toBeLessThanOrEqual(5e-5);
    for (const [j, printed] of [11.896, 0.1349, 0.368, 0.1563].entries())
      expect(Math.abs(solution.standard_errors[j] - printed)).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(solution.residual_sd - 3.243)).toBeLessThanOrEqual(5e-4);
    expect(Math.abs(solution.r2 - 0.9136)).toBeLessThanOrEqual(5e-5);
  });

  // Cook's distances and hat values recomputed with statsmodels to six decimals.
  test("Cook's distances: row 21 stands out, then 1, 4, 3", () => {
    const { cooks_distance, leverage } = fitted(design, loss);
    for (const [row, distance] of [
      [21, 0.692],
      [1, 0.15371],
      [4, 0.130542],
      [3, 0.126414],
      [17, 0.065473],
      [12, 0.065066],
      [2, 0.059683],
    ] as const)
      expect(Math.abs(cooks_distance[row - 1] - distance)).toBeLessThanOrEqual(5e-7);
    expect(Math.abs(leverage[16] - 0.412123)).toBeLessThanOrEqual(5e-7);
    expect(Math.abs(leverage[20] - 0.284533)).toBeLessThanOrEqual(5e-7);
  });

  // MASS documentation of rlm: k = 1.345, scale = median |e|/0.6745; ours has the constant to all digits, hence 1e-4.
  test('Huber as printed', () => {
    const answer = estimateHuber(design, column(loss));
    if (!answer.ok) throw new Error(answer.error.text);
    for (const [j, printed] of [-41.0265, 0.8294, 0.9261, -0.1278].entries())
      expect(Math.abs(answer.value.coefficients[j] - printed)).toBeLessThanOrEqual(1.5e-4);
    expect(Math.abs(answer.value.scale - 2.441)).toBeLessThanOrEqual(6e-4);
  });
});

test('Sen (1968): slope 4, intercept 6 by the median of y − bt', () => {
  const line = estimateTheilSen(column([1, 2, 3, 4, 10, 12, 18]), column([9, 15, 19, 20, 45, 55, 78]));
  expect(line).toEqual({ slope: 4, intercept: 6 });
  const moved = estimateTheilSen(
    column([1, 2, 3, 4, 10, 12, 18].map((t) => t + 1.7e9)),
    column([9, 15, 19, 20, 45, 55, 78]),
  );
  expect(moved.slope).toBe(4);
});
