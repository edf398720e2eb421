/** From the means of strips to what can be said of their treatments. */
import { finiteOrNull } from '../../columns.ts';
import { meanLetters } from '../../stats/mean-letters.ts';
import { detectableShare, powerOfF, replicatesNeeded } from '../../stats/power.ts';
import { tFromTwoSidedP } from '../../stats/student-t.ts';
import type { ComparisonInput } from './comparison.ts';
import { comparisonCautions } from './comparison-cautions.ts';
import type {
  ComparedStrip,
  ComparisonDesign,
  ComparisonPower,
  FieldComparison,
  TreatmentDifference,
} from './comparison-result.ts';
import type { ComparisonSheet } from './comparison-sheet.ts';
import {
  detectableText,
  neededText,
  toldOfAll,
  toldOfDifference,
  type YieldWords,
} from './comparison-words.ts';
import type { StripDesign } from './strip-design.ts';
import { END_BUFFER_M } from './strip-points.ts';
import { type TreatmentTest, testTreatments, treatmentDifferences } from './treatment-test.ts';

/** Of each difference that would matter, as share of the mean, where the sheet names none. */
const SHARES_OF_MEAN = [0.02, 0.05, 0.1];
/** Of seeing a difference that is there; common practice [Cohen1988]. */
const POWER = 0.8;
const DEFAULT_ALPHA_PCT = 5;

/** Strips with their figures, and how they belong together. */
export interface MeasuredStrips {
  readonly design: StripDesign;
  readonly compared: readonly ComparedStrip[];
  readonly empty: readonly ComparedStrip[];
  readonly elsewhere: number;
}

/** The test that the design asks for, and what follows from it. */
export function concluded(
  input: ComparisonInput,
  { design, compared, empty, elsewhere }: MeasuredStrips,
): FieldComparison {
  const { sheet, points, summary, words } = input;
  const alpha_pct = sheet.alpha_pct ?? DEFAULT_ALPHA_PCT;
  const alpha = alpha_pct / 100;
  const yields = Float64Array.from(compared, ({ yield_t_ha }) => yield_t_ha ?? Number.NaN);
  const tested = testTreatments(yields, design, alpha);
  const differences = treatmentDifferences(tested, design.treatments, alpha);
  const power = powerOf(tested, design, alpha, sheet.worthwhile_t_ha);
  const calibration_se_pct = summary?.uncertainty?.parts_pct.calibration ?? null;
  return {
    name: sheet.name,
    field: points.field,
    crop: points.crop,
    design: designText(sheet, design),
    end_buffer_m: sheet.end_buffer_m ?? END_BUFFER_M,
    side_buffer_m: sheet.side_buffer_m ?? 0,
    alpha_pct,
    strips: [...compared, ...empty],
    treatments: treatmentsOf(tested, design, compared, differences),
    test: tested.test ?? null,
    differences,
    power,
    points_elsewhere: elsewhere,
    calibration_se_pct,
    told: conclusions(tested, differences, power, alpha_pct, words),
    cautions: comparisonCautions(compared, empty, design, tested.isDisconnected),
  };
}

function conclusions(
  { test }: TreatmentTest,
  differences: readonly TreatmentDifference[],
  power: ComparisonPower | null,
  alpha_pct: number,
  words: YieldWords,
): string[] {
  if (differences.length === 0) return ['There is one treatment alone, and nothing to compare it with.'];
  const told: string[] = [];
  const count = (1 + Math.sqrt(1 + 8 * differences.length)) / 2;
  if (count > 2 && test !== undefined) {
    told.push(toldOfAll(test, count, alpha_pct));
    const apart = differences.filter(({ can_be_told }) => can_be_told);
    if (apart.length > 0) told.push(toldOfDifference(apart[0], alpha_pct, null, words));
    if (power !== null) told.push(detectableText(power, words));
  } else told.push(toldOfDifference(differences[0], alpha_pct, power, words));
  const next = power?.needed.find(({ replicates }) => replicates !== null && replicates > power.replicates);
  if (next !== undefined && power !== null) told.push(neededText(next, power.power, words));
  return told;
}

function treatmentsOf(
  { means, mean_se, test }: TreatmentTest,
  { treatments }: StripDesign,
  strips: readonly ComparedStrip[],
  differences: readonly TreatmentDifference[],
): FieldComparison['treatments'] {
  const order = treatments.map((_, i) => i).sort((a, b) => means[b] - means[a] || a - b);
  const apart = new Set(
    differences
      .filter(({ can_be_told }) => can_be_told)
      .flatMap(({ higher, lower }) => [JSON.stringify([higher, lower]), JSON.stringify([lower, higher])]),
  );
  const differ = (i: number, j: number) => apart.has(JSON.stringify([treatments[i], treatments[j]]));
  const letters = test === undefined ? undefined : meanLetters(treatments.length, differ, order);
  return order.map((i) => {
    const own = strips.filter(({ treatment }) => treatment === treatments[i]);
    const wet_kg = own.reduce((sum, { mass_wet_kg }) => sum + mass_wet_kg, 0);
    const water_kg = own.reduce((sum, one) => sum + one.mass_wet_kg * (one.moisture_pct ?? Number.NaN), 0);
    return {
      treatment: treatments[i],
      strips: own.length,
      area_ha: own.reduce((sum, { area_ha }) => sum + area_ha, 0),
      moisture_pct: finiteOrNull(water_kg / wet_kg),
      yield_t_ha: means[i],
      se_t_ha: finiteOrNull(mean_se(i)),
      letters: letters?.[i] ?? null,
    };
  });
}

function powerOf(
  { test, errorOf, error, means }: TreatmentTest,
  { treatment, treatments }: StripDesign,
  alpha: number,
  worthwhile_t_ha: number | undefined,
): ComparisonPower | null {
  if (test === undefined || errorOf === undefined || test.lsd_t_ha === null || !(error > 0)) return null;
  const df = test.degrees_of_freedom;
  const se = test.lsd_t_ha / tFromTwoSidedP(alpha, df);
  const counts = treatments.map((_, i) => treatment.filter((one) => one === i).length);
  const grand = means.reduce((sum, mean) => sum + mean, 0) / means.length;
  const wanted =
    worthwhile_t_ha === undefined ? SHARES_OF_MEAN.map((share) => share * grand) : [worthwhile_t_ha];
  const replicates = Math.min(...counts);
  const isF = test.kind === 'randomised_blocks' || test.kind === 'one_way';
  const degrees = { treatments: treatments.length - 1, error: df };
  return {
    power: POWER,
    replicates,
    least_detectable_t_ha: detectableShare(df, alpha, POWER) * se,
    needed: wanted.map((difference_t_ha) => ({
      difference_t_ha,
      replicates: replicatesNeeded(difference_t_ha, errorOf, alpha, POWER) ?? null,
    })),
    f_power: isF ? powerOfF(wanted[0] ** 2 / 2, error, replicates, degrees, alpha) : null,
  };
}

function designText(
  sheet: ComparisonSheet,
  { treatments, blocks, blocks_from }: StripDesign,
): ComparisonDesign {
  const unit =
    sheet.spans === undefined
      ? 'Each strip is one experimental unit'
      : 'Each spell of one treatment by one machine is one experimental unit';
  if (treatments.length < 2)
    return {
      kind: 'one_treatment',
      blocks_from: null,
      blocks: [],
      about: `${unit}; there is one treatment.`,
    };
  if (blocks_from === null)
    return {
      kind: 'unpaired',
      blocks_from,
      blocks,
      about: `${unit}; no pairs or blocks are named, and the strips do not lie in runs that hold each treatment once.`,
    };
  const isPairs = treatments.length === 2;
  const kind = isPairs ? 'pairs' : 'blocks';
  const by =
    blocks_from === 'sheet'
      ? 'as named'
      : 'as the strips lie side by side (no pairs or blocks are named; yields were not looked at)';
  return { kind, blocks_from, blocks, about: `${unit}; ${blocks.length} ${kind} ${by}.` };
}
