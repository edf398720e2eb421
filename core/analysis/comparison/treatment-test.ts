/** The test that a design asks for: pairs, blocks, Welch's for two unpaired treatments, one way for more. */
import { type BlockFit, fitBlocks } from '../../stats/block-fit.ts';
import { fUpperTail } from '../../stats/f-distribution.ts';
import { standardDeviation } from '../../stats/moments.ts';
import { tFromTwoSidedP } from '../../stats/student-t.ts';
import { confidenceInterval, type TTest, tTest, welchTTest } from '../../stats/t-tests.ts';
import type { AnovaRow, ComparisonTest, TreatmentDifference } from './comparison-result.ts';
import type { StripDesign } from './strip-design.ts';

/** Means of treatments and what tells them apart; yields in whatever unit the strips have. */
export interface TreatmentTest {
  /** By treatment of the design. */
  readonly means: Float64Array;
  readonly mean_se: (treatment: number) => number;
  readonly test: ComparisonTest | undefined;
  readonly difference: (i: number, j: number) => TTest | undefined;
  /** Error of the difference of two means of n replicates each, for designing the next trial. */
  readonly errorOf: ((replicates: number) => { readonly se: number; readonly df: number }) | undefined;
  /** Mean square of the error; NaN without a test. */
  readonly error: number;
  /** Whether treatments cannot be compared because they share no blocks. */
  readonly isDisconnected: boolean;
}

/**
 * The test of the design at level `alpha` (0..1), `yields` one a strip in any unit. Plain means without a test where strips
 * are too few, or share no blocks.
 */
export function testTreatments(yields: Float64Array, design: StripDesign, alpha: number): TreatmentTest {
  const count = design.treatments.length;
  if (design.blocks_from === null && count === 2) return unpaired(yields, design, alpha);
  const blocks = Math.max(1, design.blocks.length);
  const fit = count < 2 ? undefined : fitBlocks(yields, design.treatment, design.block, count, blocks);
  if (fit === undefined || fit.error.df < 1) return untested(yields, design, count > 1 && fit === undefined);
  const error = fit.error.sum_of_squares / fit.error.df;
  const isBlocked = design.blocks_from !== null;
  const difference = (i: number, j: number) =>
    tTest(fit.means[i] - fit.means[j], fit.differenceSe(i, j), fit.error.df);
  const ses = pairsOf(count).map(([i, j]) => fit.differenceSe(i, j));
  const rows = anovaRows(fit, isBlocked);
  return {
    means: fit.means,
    mean_se: fit.meanSe,
    test: {
      kind: isBlocked ? (count === 2 ? 'paired_t' : 'randomised_blocks') : 'one_way',
      anova: rows,
      p: rows.find(({ source }) => source === 'treatments')?.p ?? Number.NaN,
      cv_pct: (100 * Math.sqrt(error)) / fit.grand_mean,
      lsd_t_ha: tFromTwoSidedP(alpha, fit.error.df) * (ses.reduce((sum, se) => sum + se, 0) / ses.length),
      degrees_of_freedom: fit.error.df,
    },
    difference,
    errorOf: (n) => ({
      se: Math.sqrt((2 * error) / n),
      df: isBlocked ? (n - 1) * (count - 1) : count * (n - 1),
    }),
    error,
    isDisconnected: false,
  };
}

/** Differences of every two treatments as they are told, the higher first, the largest first. */
export function treatmentDifferences(
  { means, difference, test }: TreatmentTest,
  names: readonly string[],
  alpha: number,
): TreatmentDifference[] {
  // Fisher's protection: no two are told apart where all together are not
  const isProtected = names.length > 2 && !((test?.p ?? 1) <= alpha);
  return pairsOf(names.length)
    .map(([i, j]): TreatmentDifference => {
      const [high, low] = means[i] >= means[j] ? [i, j] : [j, i];
      const found = difference(high, low);
      return {
        higher: names[high],
        lower: names[low],
        difference_t_ha: means[high] - means[low],
        se_t_ha: found?.se ?? null,
        df: found?.df ?? null,
        t: found?.t ?? null,
        p: found?.p_two_sided ?? null,
        interval_t_ha: found === undefined ? null : confidenceInterval(found, alpha),
        can_be_told: !isProtected && (found?.p_two_sided ?? 1) <= alpha,
      };
    })
    .sort((a, b) => b.difference_t_ha - a.difference_t_ha);
}

function pairsOf(count: number): [number, number][] {
  return Array.from({ length: count }, (_, i) => i).flatMap((i) =>
    Array.from({ length: count - i - 1 }, (_, k): [number, number] => [i, i + 1 + k]),
  );
}

function anovaRows(fit: BlockFit, isBlocked: boolean): AnovaRow[] {
  const error = fit.error.sum_of_squares / fit.error.df;
  const row = (source: AnovaRow['source']): AnovaRow => {
    const { df, sum_of_squares } = fit[source];
    const mean_square = df > 0 ? sum_of_squares / df : null;
    const f = source === 'error' || mean_square === null ? null : mean_square / error;
    // strips that are all alike scatter by nothing, and differ by nothing
    const p = f === null ? null : Number.isNaN(f) ? 1 : fUpperTail(f, df, fit.error.df);
    return { source, df, sum_of_squares, mean_square, f, p };
  };
  return [...(isBlocked ? [row('blocks')] : []), row('treatments'), row('error')];
}

function unpaired(yields: Float64Array, design: StripDesign, alpha: number): TreatmentTest {
  const [a, b] = [0, 1].map((treatment) => yields.filter((_, k) => design.treatment[k] === treatment));
  if (a.length < 2 || b.length < 2) return untested(yields, design, false);
  const found = welchTTest(a, b);
  const bare = untested(yields, design, false);
  const [sa, sb] = [a, b].map(standardDeviation);
  const error = (sa ** 2 + sb ** 2) / 2;
  const grand = bare.means.reduce((sum, mean) => sum + mean, 0) / 2;
  return {
    ...bare,
    mean_se: (treatment) => (treatment === 0 ? sa / Math.sqrt(a.length) : sb / Math.sqrt(b.length)),
    test: {
      kind: 'welch_t',
      anova: [],
      p: found.p_two_sided,
      cv_pct: (100 * Math.sqrt(error)) / grand,
      lsd_t_ha: tFromTwoSidedP(alpha, found.df) * found.se,
      degrees_of_freedom: found.df,
    },
    difference: (i, j) => (i === j ? undefined : i === 0 ? found : turned(found)),
    errorOf: (n) => ({ se: Math.sqrt((2 * error) / n), df: 2 * (n - 1) }),
    error,
  };
}

function turned({ difference, t, ...rest }: TTest): TTest {
  return { ...rest, difference: -difference, t: -t };
}

/** Plain means, and nothing that tells them apart. */
function untested(yields: Float64Array, design: StripDesign, isDisconnected: boolean): TreatmentTest {
  const count = design.treatments.length;
  const sums = new Float64Array(count);
  const counts = new Float64Array(count);
  for (let k = 0; k < yields.length; k++) {
    sums[design.treatment[k]] += yields[k];
    counts[design.treatment[k]]++;
  }
  return {
    means: sums.map((sum, i) => sum / counts[i]),
    mean_se: () => Number.NaN,
    test: undefined,
    difference: () => undefined,
    errorOf: undefined,
    error: Number.NaN,
    isDisconnected,
  };
}
