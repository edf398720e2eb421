/** Tests of means against R 4.2.2 and printed examples. */
import { describe, expect, test } from 'vitest';
import { fitBlocks } from '../../core/stats/block-fit.ts';
import { fFromUpperTail, fUpperTail, noncentralFUpperTail } from '../../core/stats/f-distribution.ts';
import { detectableShare, powerOfF, powerOfT, replicatesNeeded } from '../../core/stats/power.ts';
import { tFromTwoSidedP } from '../../core/stats/student-t.ts';
import { confidenceInterval, pairedTTest, tTest, welchTTest } from '../../core/stats/t-tests.ts';
import { referenceText } from './reference-data.ts';
import { GOMEZ_SEED_RATE, INVENTED_PAIRS, STUDENT_SLEEP } from './trial-strips.ts';

/** Equal to as many digits as were printed. */
function expectEqual(found: number, wanted: number, relative = 2e-12): void {
  expect(Math.abs(found / wanted - 1)).toBeLessThan(relative);
}

function expectAllEqual(found: ArrayLike<number>, wanted: readonly number[]): void {
  expect(found).toHaveLength(wanted.length);
  for (const [k, one] of wanted.entries()) expectEqual(found[k], one);
}

function blocksOf(rows: readonly (readonly number[])[]) {
  const columns = rows[0].length;
  return {
    y: Float64Array.from(rows.flat()),
    treatment: Int32Array.from(rows.flat(), (_, k) => Math.floor(k / columns)),
    block: Int32Array.from(rows.flat(), (_, k) => k % columns),
  };
}

describe('tests of two means', () => {
  test('invented pairs as R has them', () => {
    const { a, b, R } = INVENTED_PAIRS;
    const found = pairedTTest(a, b);
    expectEqual(found.difference, R.mean_difference);
    expectEqual(found.se, R.se);
    expectEqual(found.t, R.t);
    expectEqual(found.p_two_sided, R.p);
    expect(found.df).toBe(R.df);
    expectAllEqual(confidenceInterval(found, 0.05), R.interval_95);
    expectAllEqual(confidenceInterval(found, 0.1), R.interval_90);
    const welch = welchTTest(a, b);
    expectEqual(welch.t, R.welch.t);
    expectEqual(welch.df, R.welch.df);
    expectEqual(welch.p_two_sided, R.welch.p);
  });

  test("Student's own pairs", () => {
    const { a, b, mean_difference, t, p } = STUDENT_SLEEP;
    const found = pairedTTest(a, b);
    expectEqual(found.difference, mean_difference);
    expect(found.t).toBeCloseTo(t, 6);
    expect(found.p_two_sided).toBeCloseTo(p, 8);
  });

  // UF/FSR handbook (ufdc UF00080557 p. 56): 6.15 against 4.10, two strips each, t 4.16 on 2 degrees: not significant at 5 %
  test('two strips each of the extension handbook', () => {
    const fit = fitBlocks(
      Float64Array.of(6.6, 5.7, 4.3, 3.9),
      Int32Array.of(0, 0, 1, 1),
      new Int32Array(4),
      2,
      1,
    );
    const found = tTest(2.05, fit?.differenceSe(0, 1) ?? Number.NaN, fit?.error.df ?? Number.NaN);
    expect(found.se).toBeCloseTo(0.4924, 4);
    expect(found.t).toBeCloseTo(4.1629, 3);
    expect(found.df).toBe(2);
    expect(found.p_two_sided).toBeGreaterThan(0.05);
  });

  // Exner & Thompson (Practical Farmers of Iowa, 2003): LSD = t s/√n of six pairs, t(5) 2.015 at 10 % and 2.571 at 5 %
  test('t of six pairs', () => {
    expect(tFromTwoSidedP(0.1, 5)).toBeCloseTo(2.01505, 5);
    expect(tFromTwoSidedP(0.05, 5)).toBeCloseTo(2.57058, 5);
  });

  test('51 pairs of barley, Archer and Goldthorpe [Student1923], where the reference data are present', () => {
    const text = referenceText('values/f_student_barley_pairs.csv');
    if (text === undefined) return;
    const rows = text
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(',').slice(-2).map(Number));
    const found = pairedTTest(
      rows.map(([archer]) => archer),
      rows.map(([, other]) => other),
    );
    expectEqual(found.difference, 13.372549019608);
    expectEqual(found.se, 3.401033382096);
    expectEqual(found.t, 3.931907604908);
    expectEqual(found.p_two_sided, 0.0002598419410985);
    const [low, high] = confidenceInterval(found, 0.05);
    expectEqual(low, 6.541372429441);
    expectEqual(high, 20.203725609775);
  });
});

describe('blocks', () => {
  test('seeding rates of Gomez & Gomez as R has them', () => {
    const { yields, R } = GOMEZ_SEED_RATE;
    const { y, treatment, block } = blocksOf(yields);
    const fit = fitBlocks(y, treatment, block, 6, 4);
    if (fit === undefined) throw new Error('not fitted');
    for (const [row, wanted] of [
      [fit.blocks, R.blocks],
      [fit.treatments, R.treatments],
      [fit.error, R.error],
    ] as const) {
      expect(row.df).toBe(wanted.df);
      expectEqual(row.sum_of_squares, wanted.ss);
    }
    const mse = fit.error.sum_of_squares / fit.error.df;
    const F = fit.treatments.sum_of_squares / fit.treatments.df / mse;
    expectEqual(F, R.treatments.F);
    expectEqual(fUpperTail(F, 5, 15), R.treatments.p);
    expectEqual((100 * Math.sqrt(mse)) / fit.grand_mean, R.cv_pct);
    expectEqual(tFromTwoSidedP(0.05, 15) * fit.differenceSe(0, 3), R.lsd_05);
    expectEqual(fit.meanSe(0), Math.sqrt(mse / 4));
    expectAllEqual(fit.means, R.means);
  });

  test('the same without blocks', () => {
    const { yields, R } = GOMEZ_SEED_RATE;
    const { y, treatment } = blocksOf(yields);
    const fit = fitBlocks(y, treatment, new Int32Array(24), 6, 1);
    if (fit === undefined) throw new Error('not fitted');
    expectEqual(fit.error.sum_of_squares, R.one_way.error_ss);
    const F = fit.treatments.sum_of_squares / 5 / (fit.error.sum_of_squares / 18);
    expectEqual(F, R.one_way.F);
    expectEqual(fUpperTail(F, 5, 18), R.one_way.p);
    expect(fit.blocks).toEqual({ df: 0, sum_of_squares: expect.closeTo(0, 6) });
  });

  test('two treatments in blocks are pairs', () => {
    const { a, b, R } = INVENTED_PAIRS;
    const { y, treatment, block } = blocksOf([a, b]);
    const fit = fitBlocks(y, treatment, block, 2, 7);
    if (fit === undefined) throw new Error('not fitted');
    expectEqual(fit.differenceSe(0, 1), R.se);
    expectEqual(fit.blocks.sum_of_squares, R.blocks.ss);
    expectEqual(fit.treatments.sum_of_squares, R.treatments.ss, 1e-11);
    expectEqual(fit.error.sum_of_squares, R.error.ss, 1e-11);
  });

  // with one cell missing, two treatments are compared by the pairs that are whole
  test('a missing partner leaves the other pairs', () => {
    const { a, b } = INVENTED_PAIRS;
    const { y, treatment, block } = blocksOf([a, b]);
    const isKept = (_: unknown, k: number) => k !== 9;
    const fit = fitBlocks(y.filter(isKept), treatment.filter(isKept), block.filter(isKept), 2, 7);
    const whole = pairedTTest(a.toSpliced(2, 1), b.toSpliced(2, 1));
    if (fit === undefined) throw new Error('not fitted');
    expectEqual(fit.means[0] - fit.means[1], whole.difference);
    expectEqual(fit.differenceSe(0, 1), whole.se);
    expect(fit.error.df).toBe(whole.df);
  });

  test('treatments that share no block cannot be compared', () => {
    expect(
      fitBlocks(Float64Array.of(1, 2, 3, 4), Int32Array.of(0, 0, 1, 1), Int32Array.of(0, 1, 2, 3), 2, 4),
    ).toBe(undefined);
  });

  test('strips of nitrogen rates as R has them, where the reference data are present', () => {
    const text = referenceText('values/f_trials.json');
    if (text === undefined) return;
    const trials = JSON.parse(text);
    for (const year of ['lasrosas1999', 'lasrosas2001']) {
      const { strips, anova, lsd05, lsd10, sed, cv_pct, treatment_means } = trials[year];
      const rates = Object.keys(treatment_means);
      const y = Float64Array.from(strips, (one: { yield: number }) => one.yield);
      const treatment = Int32Array.from(strips, ({ nf }: { nf: string }) => rates.indexOf(nf));
      const block = Int32Array.from(strips, ({ rep }: { rep: string }) => Number(rep.slice(1)) - 1);
      const fit = fitBlocks(y, treatment, block, 6, 3);
      if (fit === undefined) throw new Error('not fitted');
      expectEqual(fit.blocks.sum_of_squares, anova['factor(rep)'].SS, 1e-11);
      expectEqual(fit.treatments.sum_of_squares, anova['factor(nf)'].SS, 1e-11);
      expectEqual(fit.error.sum_of_squares, anova.Residuals.SS, 1e-11);
      expectEqual(fUpperTail(anova['factor(nf)'].F, 5, 10), anova['factor(nf)'].p, 1e-10);
      expectEqual(fit.differenceSe(1, 4), sed);
      expectEqual(tFromTwoSidedP(0.05, 10) * fit.differenceSe(1, 4), lsd05);
      expectEqual(tFromTwoSidedP(0.1, 10) * fit.differenceSe(1, 4), lsd10);
      expectEqual((100 * Math.sqrt(anova.Residuals.MS)) / fit.grand_mean, cv_pct);
      expectAllEqual(
        fit.means,
        rates.map((rate) => treatment_means[rate]),
      );
    }
  });
});

describe('power', () => {
  // R documentation, examples of power.t.test (n 20, delta 1, sd 1: 0.8689528, the far tail left out, 2e-7; power .90: n 22.02110)
  // and power.anova.test
  test('examples of the documentation of R', () => {
    expect(powerOfT(1 / Math.sqrt(2 / 20), 38, 0.05)).toBeCloseTo(0.8689528, 6);
    const errorOf = (n: number) => ({ se: Math.sqrt(2 / n), df: 2 * n - 2 });
    expect(replicatesNeeded(1, errorOf, 0.05, 0.9)).toBe(23);
    expect(powerOfF(3, 3, 5, { treatments: 3, error: 16 }, 0.05)).toBeCloseTo(0.3535594, 7);
  });

  // scipy 1.17.1 `ncf.cdf`
  test('non-central F', () => {
    expect(1 - noncentralFUpperTail(3, 1, 10, 4)).toBeCloseTo(0.38494612182174653, 11);
    expect(1 - noncentralFUpperTail(2.5, 5, 15, 7.5)).toBeCloseTo(0.5225363375312542, 11);
    expect(1 - noncentralFUpperTail(10, 2, 7, 30)).toBeCloseTo(0.2054278438845964, 11);
    expect(noncentralFUpperTail(4, 2, 9, 0)).toBeCloseTo(fUpperTail(4, 2, 9), 13);
  });

  // scipy 1.17.1 `f.ppf(0.95, 5, 15)`
  test('quantile of F', () => expectEqual(fFromUpperTail(0.05, 5, 15), 2.9012945362361573, 1e-12));

  test('a difference as large as can be detected is detected as often', () => {
    expect(powerOfT(detectableShare(5, 0.05, 0.8), 5, 0.05)).toBeCloseTo(0.8, 10);
    // pairs that differ by the same to the last digit: the error is that of the arithmetic
    expect(powerOfT(1e15, 2, 0.05)).toBeCloseTo(1, 4);
    expect(detectableShare(1, 1e-6, 0.8)).toBe(Number.POSITIVE_INFINITY);
    expect(replicatesNeeded(1e-6, (n) => ({ se: 1 / n, df: n - 1 }), 0.05, 0.8)).toBe(undefined);
  });
});
