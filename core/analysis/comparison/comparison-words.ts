/** What follows from a comparison, and what stands against it, in sentences that a grower can act on. */
import type { ComparisonPower, ComparisonTest, TreatmentDifference } from './comparison-result.ts';

/** How yields are said: `0.42 t/ha`, or `6.7 bu/ac`. */
export interface YieldWords {
  readonly unit: string;
  readonly number: (yield_t_ha: number) => string;
}

/** "3.4 in 100", "46 in 100", "fewer than 1 in 1000" */
function chanceText(p: number): string {
  if (p < 0.001) return 'fewer than 1 in 1000';
  if (p < 0.01) return `${Math.max(1, Math.round(1000 * p))} in 1000`;
  // at the limit of what is called real, a digit more says on which side it is
  return `${(100 * p).toFixed(p < 0.1 ? 1 : 0)} in 100`;
}

/** Of two treatments: which is better by how much, or what it would take to see. */
export function toldOfDifference(
  one: TreatmentDifference,
  alpha_pct: number,
  power: ComparisonPower | null,
  { unit, number }: YieldWords,
): string {
  const { higher, lower, difference_t_ha, interval_t_ha, p } = one;
  if (interval_t_ha === null || p === null)
    return `${higher} stands ${number(difference_t_ha)} ${unit} above ${lower}, and nothing says whether that is the treatment or the ground.`;
  const level = `${100 - alpha_pct} % interval ${number(interval_t_ha[0])} to ${number(interval_t_ha[1])}`;
  const half = number((interval_t_ha[1] - interval_t_ha[0]) / 2);
  const chance = `so large a difference comes by chance alone in ${chanceText(p)} such trials`;
  if (one.can_be_told)
    return `${higher} outyielded ${lower} by ${number(difference_t_ha)} ± ${half} ${unit} (${level}); ${chance}.`;
  const needed = power === null ? '' : ` ${detectableText(power, { unit, number })}`;
  return `${higher} and ${lower} cannot be told apart: they differ by ${number(difference_t_ha)} ± ${half} ${unit}, and ${chance}.${needed}`;
}

/** "With 6 replicates a difference of 0.5 t/ha would be seen in 80 of 100 such trials." */
export function detectableText(
  { power, replicates, least_detectable_t_ha }: ComparisonPower,
  { unit, number }: YieldWords,
): string {
  return `With ${replicates} replicates a true difference of ${number(least_detectable_t_ha)} ${unit} would be seen in ${Math.round(100 * power)} of 100 such trials.`;
}

/** "It takes 14 replicates to see 0.2 t/ha in 80 of 100 such trials." */
export function neededText(
  needed: ComparisonPower['needed'][number],
  power: number,
  { unit, number }: YieldWords,
): string {
  const { difference_t_ha, replicates } = needed;
  const many = replicates === null ? 'more replicates than a field has room for' : `${replicates} replicates`;
  return `It takes ${many} to see ${number(difference_t_ha)} ${unit} in ${Math.round(100 * power)} of 100 such trials.`;
}

/** Whether `count` treatments differ at all, by the F test; `kind` says what they were weighed against. */
export function toldOfAll({ p, kind }: ComparisonTest, count: number, alpha_pct: number): string {
  const what = kind === 'randomised_blocks' ? 'within blocks' : 'between strips';
  const chance = `by chance alone treatments would differ as much in ${chanceText(p)} such trials`;
  return 100 * p <= alpha_pct
    ? `The ${count} treatments differ beyond the scatter ${what}: ${chance}.`
    : `The ${count} treatments together cannot be told from the scatter ${what}: ${chance}; no two of them are called different.`;
}

/** Below this many replicates extension services call a strip trial weak: 5 to 6 are usual [OhioState190; ExnerThompson2003]. */
export const USUAL_REPLICATES = 4;
