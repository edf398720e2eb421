/**
 * Mass and ground → yield, with its standard error.
 *
 * mass = k·ρ·V (+ zero error · running time), yield at standard moisture = mass / (w·d) · (100 − M)/(100 − M_std).
 * The error of a point joins, as independent parts: the scatter of its paddles, the empty level, the calibration, the
 * moisture reading, the grain of other ground that came through with it, and the width that was really cut.
 */

import { lengthOf } from '../columns.ts';
import { moistureFactor } from '../grain/moisture.ts';
import { yieldFromMass } from '../grain/yield.ts';

/** One row a point. */
export interface YieldInput {
  readonly mass_kg: Float64Array;
  readonly fresh_area_m2: Float64Array;
  readonly cut_width_m: Float64Array;
  readonly moisture_pct: Float64Array;
  readonly standard_moisture_pct: number;
}

/** Yield at standard moisture, kg/m²; NaN where next to nothing was cut. */
export function yieldsAtStandardMoisture(input: YieldInput): Float64Array {
  return input.mass_kg.map(
    (mass_kg, i) =>
      yieldFromMass(mass_kg, input.fresh_area_m2[i]) *
      moistureFactor(input.moisture_pct[i], input.standard_moisture_pct),
  );
}

/** What is known of the errors, one row a point. */
export interface ErrorParts {
  /** Standard error of the point's mass from its paddles and the empty level, kg. */
  readonly sensor_se_kg: Float64Array;
  /** Standard error of the point's mass from the calibration, kg. */
  readonly calibration_se_kg: Float64Array;
  /** Standard error of the cut width, m. */
  readonly width_se_m: Float64Array;
  /** Standard error of the yield by grain of other ground (`mixing-error.ts`), kg/m². */
  readonly mixing_se_kg_m2: Float64Array;
}

/**
 * Accuracy of grain moisture sensors, points of moisture: Chung et al. 2016 review, capacitive sensors "some < 1 %"; half
 * of that as a standard error (ours).
 */
export const MOISTURE_SE_PCT = 0.5;

/** Standard error of each yield, kg/m²; NaN where there is no yield. */
export function yieldStandardErrors(
  input: YieldInput,
  yield_kg_m2: Float64Array,
  parts: ErrorParts,
): Float64Array {
  return yield_kg_m2.map((yields, i) => {
    if (Number.isNaN(yields)) return Number.NaN;
    const factor = moistureFactor(input.moisture_pct[i], input.standard_moisture_pct);
    const mass_se =
      (lengthOf(parts.sensor_se_kg[i], parts.calibration_se_kg[i]) * factor) / input.fresh_area_m2[i];
    const width_se = input.cut_width_m[i] > 0 ? (yields * parts.width_se_m[i]) / input.cut_width_m[i] : 0;
    const moisture_se = (yields * MOISTURE_SE_PCT) / (100 - input.moisture_pct[i]);
    return lengthOf(lengthOf(mass_se, width_se), lengthOf(moisture_se, parts.mixing_se_kg_m2[i]));
  });
}
