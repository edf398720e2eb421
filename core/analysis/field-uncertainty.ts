/** Standard errors and 95 % intervals of a field's totals, from what they are made of. */
import type { TotalError } from '../calibrate/total-error.ts';
import type { FieldUncertainty, Interval95 } from '../calibration-result.ts';
import { finiteOrNull } from '../columns.ts';
import { tFromTwoSidedP } from '../stats/student-t.ts';

/** Relative errors, independent of each other. */
export interface ErrorShares {
  readonly calibration: TotalError;
  readonly moisture_se: number;
  readonly area_se: number;
}

/** Above this many degrees of freedom Student's t is the normal distribution to four digits. */
const AS_GOOD_AS_NORMAL = 1e5;

/**
 * All parts together: `√Σ`, and the degrees of freedom by [Welch1947; Satterthwaite1946], the calibration being the only
 * part that is estimated from few numbers.
 */
export function errorOf(
  { calibration, moisture_se, area_se }: ErrorShares,
  parts: 'wet' | 'standard' | 'yield' = 'yield',
): { readonly se: number; readonly degrees_of_freedom: number } {
  const others = [parts === 'wet' ? 0 : moisture_se, parts === 'yield' ? area_se : 0];
  const se = Math.hypot(calibration.relative_se, ...others);
  const degrees_of_freedom = calibration.degrees_of_freedom * (se / calibration.relative_se) ** 4;
  return { se, degrees_of_freedom: Math.min(AS_GOOD_AS_NORMAL, degrees_of_freedom || AS_GOOD_AS_NORMAL) };
}

/** What the summary says of a field's totals; nulls where the calibration has no error. */
export function fieldUncertainty(
  totals: {
    readonly mass_wet_kg: number;
    readonly mass_std_kg: number;
    readonly mean_yield_t_ha: number;
  },
  shares: ErrorShares,
): FieldUncertainty {
  const wet = errorOf(shares, 'wet');
  const standard = errorOf(shares, 'standard');
  const yields = errorOf(shares, 'yield');
  return {
    mass_wet_se_kg: finiteOrNull(totals.mass_wet_kg * wet.se),
    mass_std_se_kg: finiteOrNull(totals.mass_std_kg * standard.se),
    mass_wet_95_kg: interval95(totals.mass_wet_kg, wet),
    mass_std_95_kg: interval95(totals.mass_std_kg, standard),
    mean_yield_95_t_ha: interval95(totals.mean_yield_t_ha, yields),
    parts_pct: {
      calibration: finiteOrNull(100 * shares.calibration.relative_se),
      moisture: finiteOrNull(100 * shares.moisture_se),
      area: finiteOrNull(100 * shares.area_se),
    },
  };
}

function interval95(
  total: number,
  { se, degrees_of_freedom }: { readonly se: number; readonly degrees_of_freedom: number },
): Interval95 | null {
  const half = total * se * tFromTwoSidedP(0.05, degrees_of_freedom);
  return Number.isFinite(half) ? [total - half, total + half] : null;
}
