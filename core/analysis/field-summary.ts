/**
 * Totals of a field: every kilogram that was cut in it over every square metre cut, not the mean of the points that
 * survived screening. Grain that ran out between points belongs to the field; what was cut outside its boundary does not.
 */

import { SCALE_SHARE } from '../calibrate/load.ts';
import type { SeasonCalibration } from '../calibrate/season-fit.ts';
import { type FittedGrain, relativeTotalError } from '../calibrate/total-error.ts';
import type { Reconciliation } from '../calibration-result.ts';
import { finiteOrNull } from '../columns.ts';
import type { Crop } from '../grain/crops.ts';
import { massAtMoisture } from '../grain/moisture.ts';
import { yieldFromMass } from '../grain/yield.ts';
import { type FieldPoints, type FieldSummary, SCREENING_RULES } from '../result.ts';
import type { FieldSheet } from '../season.ts';
import type { GroundSolution } from '../track/field-ground.ts';
import { buAcFromKgM2, haFromM2, tHaFromKgM2 } from '../units.ts';
import type { ScreenedField } from '../yield/field-points.ts';
import { MOISTURE_SE_PCT } from '../yield/yields.ts';
import { type ErrorShares, errorOf, fieldUncertainty } from './field-uncertainty.ts';
import { massByLoad } from './harvested-grain.ts';

/** Over less ground than a few rows of points no mean says anything: grain of a turn may stand for all of it, m². Ours. */
const LEAST_AREA_M2 = 100;

const OUTSIDE = SCREENING_RULES.indexOf('outside_field') + 1;

export interface FieldTotalsInput {
  readonly points: FieldPoints;
  readonly crop: Crop;
  readonly standard_moisture_pct: number;
  /** Wet mass that passed between points, kg. */
  readonly remainder_kg: number;
  /** What each machine's beam saw in the field. */
  readonly grains: readonly FittedGrain[];
  /** Standard error of the cut width averaged over the field, as a share of the header. */
  readonly width_share_se: number;
  /** Where this field alone was settled. */
  readonly settled?: Reconciliation;
}

/** Summary of one field as summary.json names it. */
export function summaryOfField(input: FieldTotalsInput): FieldSummary {
  const { points, crop, standard_moisture_pct } = input;
  let area_m2 = 0;
  let mass_wet_kg = input.remainder_kg;
  let mass_std_kg = 0;
  let water = 0;
  let weighed = 0;
  /** Kept, then by rule. */
  const counts = new Float64Array(SCREENING_RULES.length + 1);
  const { screened_by, pass, fresh_area_m2, mass_kg, moisture_pct: moistures_pct } = points;
  for (let i = 0; i < screened_by.length; i++) {
    const rule = screened_by[i];
    counts[rule]++;
    if (rule === OUTSIDE) continue;
    if (pass[i] >= 0) area_m2 += fresh_area_m2[i];
    mass_wet_kg += mass_kg[i];
    mass_std_kg += massAtMoisture(mass_kg[i], moistures_pct[i], standard_moisture_pct);
    water += mass_kg[i] * moistures_pct[i];
    weighed += mass_kg[i];
  }
  const screened: Record<string, number> = {};
  SCREENING_RULES.forEach((name, index) => {
    if (counts[index + 1] > 0) screened[name] = counts[index + 1];
  });
  const moisture_pct = weighed !== 0 ? water / weighed : Number.NaN;
  if (input.remainder_kg !== 0 && !Number.isNaN(moisture_pct)) {
    mass_std_kg += massAtMoisture(input.remainder_kg, moisture_pct, standard_moisture_pct);
  }
  const yield_kg_m2 = area_m2 < LEAST_AREA_M2 ? Number.NaN : yieldFromMass(mass_std_kg, area_m2);
  const parts = errorParts(input, moisture_pct);
  return {
    name: points.field,
    crop: crop.name,
    area_ha: haFromM2(area_m2),
    mean_yield_t_ha: finiteOrNull(tHaFromKgM2(yield_kg_m2)),
    mean_yield_se_t_ha: finiteOrNull(tHaFromKgM2(yield_kg_m2 * errorOf(parts).se)),
    mean_yield_bu_ac: finiteOrNull(buAcFromKgM2(yield_kg_m2, crop.bushel_kg)),
    uncertainty: fieldUncertainty(
      { mass_wet_kg, mass_std_kg, mean_yield_t_ha: tHaFromKgM2(yield_kg_m2) },
      parts,
    ),
    mass_wet_kg,
    mass_std_kg,
    moisture_pct: finiteOrNull(moisture_pct),
    standard_moisture_pct,
    points: { total: points.t_s.length, kept: counts[0], screened },
  };
}

/**
 * Relative errors of the field: the calibration's (common to all grain of a machine), the moisture sensor's and the area's;
 * the noise of single points averages out over thousands of them. A field that was settled by itself has the error of that
 * scale instead, and where it was settled at standard moisture none of the moisture sensor's. NaN without a calibration error.
 */
function errorParts(
  { grains, width_share_se, settled }: FieldTotalsInput,
  moisture_pct: number,
): ErrorShares {
  return {
    calibration:
      settled === undefined
        ? relativeTotalError(grains)
        : { relative_se: SCALE_SHARE, degrees_of_freedom: Number.POSITIVE_INFINITY },
    moisture_se: settled?.moisture === 'standard' ? 0 : MOISTURE_SE_PCT / (100 - moisture_pct),
    area_se: width_share_se,
  };
}

/** What the summaries of a season's fields are made from. */
export interface FieldSummaryInput {
  readonly season: { readonly fields: readonly Pick<FieldSheet, 'standard_moisture_pct'>[] };
  readonly crops: readonly Crop[];
  readonly ground: GroundSolution;
  readonly fields: readonly ScreenedField[];
  readonly calibration: SeasonCalibration;
  /** Fields whose mass was scaled to a settlement, by name. */
  readonly reconciled?: ReadonlyMap<string, Reconciliation>;
}

/** Summaries of all fields that a machine was in. */
export function fieldSummaries(input: FieldSummaryInput): FieldSummary[] {
  const { season, crops, ground, fields, calibration, reconciled } = input;
  return ground.fields.map(({ field }, f) => {
    const { points, plots } = fields[f];
    const crop = crops[field];
    const settled = reconciled?.get(points.field);
    const summary = summaryOfField({
      points,
      crop,
      standard_moisture_pct: season.fields[field].standard_moisture_pct ?? crop.standard_moisture_pct,
      remainder_kg: plots.reduce((sum, plot) => sum + plot.remainder_kg, 0),
      grains: plots.map(({ machine, totals, rows }) => ({
        fit: calibration.massFitOf(machine, crop, points.field).fit,
        ...totals,
        by_load_kg: massByLoad(points, rows),
      })),
      width_share_se: widthShareError(points),
      ...(settled?.fields.length === 1 && { settled }),
    });
    return settled === undefined ? summary : { ...summary, reconciled: settled };
  });
}

/**
 * Standard error of the field's area, relative: the receiver's slow wander is common to a pass, so a field of P passes knows
 * its mean cut width to one position error over √P of the header.
 */
function widthShareError(points: FieldPoints): number {
  const passes = new Set<number>();
  let error_m = 0;
  let width_m = 0;
  let cutting = 0;
  const { pass, machine, width_se_m, cut_width_m } = points;
  let last = Number.NaN;
  for (let i = 0; i < pass.length; i++) {
    if (pass[i] < 0) continue;
    const key = machine[i] * 1e6 + pass[i];
    if (key !== last) passes.add(key);
    last = key;
    error_m += width_se_m[i];
    width_m += cut_width_m[i];
    cutting++;
  }
  return cutting > 0 && width_m > 0 ? error_m / width_m / Math.sqrt(passes.size) : Number.NaN;
}
