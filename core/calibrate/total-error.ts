/** What the uncertainty of the calibration makes of a total. */
import { applyLoadFit, type FittedCoefficients, loadFitStandardError } from './load-coefficients.ts';

/** Grain under one fit: sums of beam mass, running time, fill- and moisture-weighted beam mass. */
export interface FittedGrain {
  readonly fit: FittedCoefficients;
  readonly x_kg: number;
  readonly running_s: number;
  readonly x2_kg: number;
  readonly xm_kg: number;
  /** Mass of it that went into each load, by the load's span. */
  readonly by_load_kg: ReadonlyMap<number, number>;
}

/** Relative standard error of a total, and the degrees of freedom of what it was estimated from. */
export interface TotalError {
  readonly relative_se: number;
  readonly degrees_of_freedom: number;
}

/**
 * Error of the total mass of some grain from its calibrations, relative to it. All grain under one fit shares its error;
 * fits are independent of each other. NaN where a fit has no error.
 *
 * The total is `T = aᵀβ`, a the sums of x, t, x₂, xₘ. A load's scale error moves it by `cᵢ = a · influenceᵢ`; how the
 * beam strayed while a load went by does so too, but a share `fᵢ` of that load is in the total itself, which the fit then
 * makes good. What no scale has weighed strays by itself, as loads of the usual size w would:
 * `Var T = Σ (cᵢ − fᵢ)² σ²_beam,i + cᵢ² σ²_scale,i + m_unweighed w σ²_beam` (error propagation in linear models). When
 * every load is weighed only the scales' errors are left. A gain alone adds what a bend that the loads do not show could do
 * where the total's fill differs from theirs.
 */
export function relativeTotalError(grains: readonly FittedGrain[]): TotalError {
  const totals = [...sumsByFit(grains).values()];
  let mass_kg = 0;
  let variance = 0;
  let over_df = 0;
  for (const total of totals) {
    mass_kg += massOf(total);
    const own = varianceOf(total);
    variance += own;
    over_df += own ** 2 / total.fit.degrees_of_freedom;
  }
  // Welch and Satterthwaite: fits with few loads have few degrees of freedom
  const degrees_of_freedom = over_df > 0 ? variance ** 2 / over_df : Number.POSITIVE_INFINITY;
  return { relative_se: Math.sqrt(variance) / Math.abs(mass_kg), degrees_of_freedom };
}

function massOf({ fit, x_kg, running_s, x2_kg, xm_kg }: FittedGrain): number {
  return applyLoadFit(fit, x_kg, running_s, x2_kg, xm_kg);
}

function varianceOf(total: FittedGrain): number {
  const { fit, x_kg, running_s, x2_kg, xm_kg } = total;
  const shared = loadFitStandardError(fit, x_kg, running_s, x2_kg, xm_kg);
  if (fit.behind.length === 0 || Number.isNaN(shared)) return shared ** 2;
  let variance = 0;
  let unweighed_kg = massOf(total);
  let loads_kg = 0;
  let beam_variance = 0;
  for (const { span, influence, scale_sd_kg, beam_sd_kg, scale_kg } of fit.behind) {
    const moved =
      influence[0] * x_kg + influence[1] * running_s + influence[2] * x2_kg + influence[3] * xm_kg;
    const inside_kg = (span >= 0 && total.by_load_kg.get(span)) || 0;
    const share = Math.min(1, inside_kg / scale_kg);
    variance += (moved - share) ** 2 * beam_sd_kg ** 2 + moved ** 2 * scale_sd_kg ** 2;
    unweighed_kg -= share * scale_kg;
    loads_kg += scale_kg;
    beam_variance += beam_sd_kg ** 2;
  }
  const { curvature_sd, mean_fill } = fit.unfitted;
  const bend_kg = curvature_sd === 0 ? 0 : curvature_sd * (x2_kg - mean_fill * x_kg);
  return variance + (Math.max(0, unweighed_kg) / loads_kg) * beam_variance + bend_kg ** 2;
}

function sumsByFit(grains: readonly FittedGrain[]): Map<FittedCoefficients, FittedGrain> {
  const sums = new Map<FittedCoefficients, FittedGrain>();
  for (const grain of grains) {
    const sum = sums.get(grain.fit);
    sums.set(grain.fit, sum === undefined ? grain : together(sum, grain));
  }
  return sums;
}

function together(a: FittedGrain, b: FittedGrain): FittedGrain {
  const by_load_kg = new Map(a.by_load_kg);
  for (const [span, kg] of b.by_load_kg) by_load_kg.set(span, (by_load_kg.get(span) ?? 0) + kg);
  return {
    fit: a.fit,
    x_kg: a.x_kg + b.x_kg,
    running_s: a.running_s + b.running_s,
    x2_kg: a.x2_kg + b.x2_kg,
    xm_kg: a.xm_kg + b.xm_kg,
    by_load_kg,
  };
}
