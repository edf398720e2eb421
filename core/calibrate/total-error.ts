/** What the uncertainty of the calibration makes of a total. */
import { applyLoadFit, type FittedCoefficients, loadFitStandardError } from './load-coefficients.ts';

/** Grain under one fit: sums of beam mass, running time and fill-weighted beam mass. */
export interface FittedGrain {
  readonly fit: FittedCoefficients;
  readonly x_kg: number;
  readonly running_s: number;
  readonly x2_kg: number;
}

/**
 * Standard error of the total mass of some grain from its calibrations, relative to it. All grain under one fit shares its
 * error; fits are independent of each other: `√Σ(aᵀCa) / Σ mass`, a the sums of each fit. NaN where a fit has no error.
 */
export function relativeTotalError(grains: readonly FittedGrain[]): number {
  const sums = new Map<FittedCoefficients, FittedGrain>();
  for (const grain of grains) {
    const sum = sums.get(grain.fit);
    sums.set(grain.fit, sum === undefined ? grain : together(sum, grain));
  }
  const totals = [...sums.values()];
  const mass_kg = totals.reduce(
    (sum, { fit, x_kg, running_s, x2_kg }) => sum + applyLoadFit(fit, x_kg, running_s, x2_kg),
    0,
  );
  const errors_kg = totals.map(({ fit, x_kg, running_s, x2_kg }) =>
    loadFitStandardError(fit, x_kg, running_s, x2_kg),
  );
  return Math.hypot(...errors_kg) / mass_kg;
}

function together(a: FittedGrain, b: FittedGrain): FittedGrain {
  return {
    fit: a.fit,
    x_kg: a.x_kg + b.x_kg,
    running_s: a.running_s + b.running_s,
    x2_kg: a.x2_kg + b.x2_kg,
  };
}
