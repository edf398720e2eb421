import { describe, expect, it } from 'vitest';
import { type FieldTotalsInput, summaryOfField } from '../../../core/analysis/field-summary.ts';
import { NO_BEND } from '../../../core/calibrate/load-coefficients.ts';
import type { Crop } from '../../../core/grain/crops.ts';
import { type FieldPoints, SCREENING_RULES } from '../../../core/result.ts';

const by = (rule: (typeof SCREENING_RULES)[number]) => SCREENING_RULES.indexOf(rule) + 1;
const CORN = { name: 'corn', bushel_kg: 25.4011727 } as Crop;

type Row = readonly [
  pass: number,
  area_m2: number,
  mass_kg: number,
  moisture_pct: number,
  screened_by: number,
];

function summary(rows: readonly Row[], change: Partial<FieldTotalsInput> = {}) {
  const points = {
    field: 'Home',
    t_s: new Float64Array(rows.length),
    pass: Int32Array.from(rows, (row) => row[0]),
    fresh_area_m2: Float64Array.from(rows, (row) => row[1]),
    mass_kg: Float64Array.from(rows, (row) => row[2]),
    moisture_pct: Float64Array.from(rows, (row) => row[3]),
    screened_by: Uint8Array.from(rows, (row) => row[4]),
  } as unknown as FieldPoints;
  const covariance = new Float64Array(16);
  covariance[0] = 1e-4;
  const fit = {
    k: 1,
    zero_kg_s: 0,
    curvature: 0,
    moisture: 0,
    covariance,
    degrees_of_freedom: 1e6,
    behind: [],
    unfitted: NO_BEND,
  };
  return summaryOfField({
    points,
    crop: CORN,
    standard_moisture_pct: 15.5,
    remainder_kg: 0,
    grains: [{ fit, x_kg: 1000, running_s: 100, x2_kg: 0, xm_kg: 0, by_load_kg: new Map() }],
    width_share_se: 0,
    ...change,
  });
}

describe('totals of a field', () => {
  it('are every kilogram over every square metre, screened points included', () => {
    const found = summary([
      [0, 5000, 4000, 20, 0],
      [0, 5000, 6000, 15.5, by('ramp')],
      [-1, 0, 100, 15.5, by('not_cutting')],
    ]);
    expect(found.area_ha).toBeCloseTo(1, 12);
    expect(found.mass_wet_kg).toBe(10_100);
    const std = (4000 * 80) / 84.5 + 6100;
    expect(found.mass_std_kg).toBeCloseTo(std, 9);
    expect(found.mean_yield_t_ha).toBeCloseTo(std / 1000, 9);
    // 56 lb of 0.45359237 kg; an acre of 4046.8564224 m²
    expect(found.mean_yield_bu_ac).toBeCloseTo((std / 25.4011727) * 0.40468564224, 6);
    expect(found.moisture_pct).toBeCloseTo((4000 * 20 + 6100 * 15.5) / 10_100, 9);
    expect(found.points).toEqual({ total: 3, kept: 1, screened: { ramp: 1, not_cutting: 1 } });
  });

  it('have no mean over next to no ground', () => {
    const found = summary([
      [0, 1, 200, 15.5, by('narrow_cut')],
      [-1, 0, 900, 15.5, by('not_cutting')],
    ]);
    expect(found).toMatchObject({ area_ha: 1e-4, mass_wet_kg: 1100, mean_yield_t_ha: null });
    expect(found.mean_yield_bu_ac).toBeNull();
    expect(found.mean_yield_se_t_ha).toBeNull();
  });

  it('leave out what was cut outside the boundary', () => {
    const found = summary([
      [0, 5000, 4000, 15.5, 0],
      [0, 900, 800, 15.5, by('outside_field')],
    ]);
    expect(found).toMatchObject({ area_ha: 0.5, mass_wet_kg: 4000, points: { total: 2, kept: 1 } });
  });

  it('take in what ran out between points, at the mean moisture', () => {
    const found = summary([[0, 10_000, 9000, 20, 0]], { remainder_kg: 1000 });
    expect(found.mass_wet_kg).toBe(10_000);
    expect(found.mass_std_kg).toBeCloseTo((10_000 * 80) / 84.5, 9);
  });

  it('have the error of calibration, moisture and width', () => {
    const found = summary([[0, 10_000, 10_000, 15.5, 0]], { width_share_se: 0.02 });
    // 1 % of the gain, half a point of moisture over the dry matter, 2 % of width
    const relative = Math.hypot(0.01, 0.5 / 84.5, 0.02);
    expect(found.mean_yield_se_t_ha).toBeCloseTo(10 * relative, 9);
  });

  it('of nothing are nothing, not a division by it', () => {
    expect(summary([], { grains: [] })).toMatchObject({
      area_ha: 0,
      mean_yield_t_ha: null,
      mean_yield_se_t_ha: null,
      mean_yield_bu_ac: null,
      mass_wet_kg: 0,
      mass_std_kg: 0,
      moisture_pct: null,
      points: { total: 0, kept: 0, screened: {} },
    });
  });
});
