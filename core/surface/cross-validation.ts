/** How well the surface foretells measurements that it was not told of [Cressie1993 §2.6.4]. */

import { type KrigingOptions, OrdinaryKriging } from './kriging.ts';
import { mergedPlaces } from './merged-places.ts';
import type { MeasuredPlaces } from './variogram.ts';
import type { VariogramModel } from './variogram-model.ts';

export interface CrossValidation {
  /** Rows of the measurements foretold. */
  readonly rows: Int32Array;
  readonly measured: Float64Array;
  readonly foretold: Float64Array;
  /** Kriging variance of each; NaN for methods that know none. */
  readonly variance: Float64Array;
  readonly figures: CrossValidationFigures;
}

/** NaN where there is nothing to tell it from. */
export interface CrossValidationFigures {
  readonly count: number;
  /** Mean of measured − foretold: 0 when nothing is pushed one way. */
  readonly mean_error: number;
  readonly rmse: number;
  readonly mae: number;
  /** Mean of squared errors over their kriging variances: 1 when the standard errors are right. */
  readonly mean_squared_ratio: number;
  /** Correlation of measured and foretold. */
  readonly correlation: number;
}

export interface CrossValidationOptions extends KrigingOptions {
  /** As many measurements at most are foretold, taken evenly through the rows; all when absent. */
  readonly most?: number;
}

/**
 * Leaves every measurement, or with `groups` every group (a pass, a fold), out in turn and foretells it by kriging. Points,
 * not blocks: a measurement is foretold, not the mean about it. The variance holds the measurement's own noise, where known.
 */
export function crossValidateKriging(
  places: MeasuredPlaces,
  model: VariogramModel,
  options: CrossValidationOptions = {},
): CrossValidation {
  const merged = mergedPlaces(places);
  const groups = options.groups === undefined ? undefined : pickedGroups(options.groups, merged.rows);
  const kriging = new OrdinaryKriging(merged.places, model, { search: options.search, groups });
  return crossValidation(merged.places, merged.rows, options.most, (k) => {
    const { east_m, north_m, noise_variance } = merged.places;
    kriging.at(east_m[k], north_m[k], groups === undefined ? k : groups[k]);
    return { foretold: kriging.estimate, variance: kriging.variance + (noise_variance?.[k] ?? 0) };
  });
}

/** The same for any method: `foretell` is given the place among `places` that must not be used. */
export function crossValidation(
  places: MeasuredPlaces,
  rows: Int32Array,
  most = places.measured.length,
  foretell: (k: number) => { readonly foretold: number; readonly variance: number },
): CrossValidation {
  const n = places.measured.length;
  const count = Math.min(n, most);
  const taken = Int32Array.from({ length: count }, (_, k) => Math.floor(((k + 0.5) * n) / count));
  const foretold = new Float64Array(count);
  const variance = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const answer = foretell(taken[k]);
    foretold[k] = answer.foretold;
    variance[k] = answer.variance;
  }
  const measured = Float64Array.from(taken, (k) => places.measured[k]);
  return {
    rows: taken.map((k) => rows[k]),
    measured,
    foretold,
    variance,
    figures: figuresOf(measured, foretold, variance),
  };
}

function figuresOf(
  measured: Float64Array,
  foretold: Float64Array,
  variance: Float64Array,
): CrossValidationFigures {
  const known = Array.from(measured.keys()).filter((k) => Number.isFinite(foretold[k]));
  const count = known.length;
  const meanOf = (term: (k: number) => number) => known.reduce((sum, k) => sum + term(k), 0) / count;
  const error = (k: number) => measured[k] - foretold[k];
  const [meanMeasured, meanForetold] = [meanOf((k) => measured[k]), meanOf((k) => foretold[k])];
  const together = meanOf((k) => (measured[k] - meanMeasured) * (foretold[k] - meanForetold));
  const spread =
    meanOf((k) => (measured[k] - meanMeasured) ** 2) * meanOf((k) => (foretold[k] - meanForetold) ** 2);
  return {
    count,
    mean_error: meanOf(error),
    rmse: Math.sqrt(meanOf((k) => error(k) ** 2)),
    mae: meanOf((k) => Math.abs(error(k))),
    mean_squared_ratio: meanOf((k) => error(k) ** 2 / variance[k]),
    correlation: spread > 0 ? together / Math.sqrt(spread) : Number.NaN,
  };
}

function pickedGroups(groups: Int32Array, rows: Int32Array): Int32Array {
  return rows.map((row) => groups[row]);
}
