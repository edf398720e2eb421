import { describe, expect, it } from 'vitest';
import {
  MOISTURE_SE_PCT,
  yieldStandardErrors,
  yieldsAtStandardMoisture,
} from '../../../core/yield/yields.ts';

const of = (...x: number[]) => Float64Array.from(x);

/** 20 kg at 20 % from 18 m²; no ground; hardly any; unknown moisture. */
const input = {
  mass_kg: of(20, 5, 5, 5),
  fresh_area_m2: of(18, 0, 0.05, 18),
  cut_width_m: of(9, 0, 0.02, 9),
  moisture_pct: of(20, 20, 20, Number.NaN),
  standard_moisture_pct: 15.5,
};

describe('yield at standard moisture', () => {
  it('is mass over ground times the ratio of dry matter', () => {
    const [first, ...rest] = yieldsAtStandardMoisture(input);
    expect(first).toBeCloseTo(((20 / 18) * 80) / 84.5, 12);
    expect(rest).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  it('has an error of which each part is what it says', () => {
    const yields = yieldsAtStandardMoisture(input);
    const errorWith = (sensor: number, calibration: number, width: number, mixing = 0) =>
      yieldStandardErrors(input, yields, {
        sensor_se_kg: of(sensor, 0, 0, 0),
        calibration_se_kg: of(calibration, 0, 0, 0),
        width_se_m: of(width, 0, 0, 0),
        mixing_se_kg_m2: of(mixing, mixing, mixing, mixing),
      });
    const moisture_part = (yields[0] * MOISTURE_SE_PCT) / 80;
    expect(errorWith(0, 0, 0)[0]).toBeCloseTo(moisture_part, 12);
    // 3 and 4 kg join to 5 kg of 20, a quarter of the yield
    expect(errorWith(3, 4, 0)[0]).toBeCloseTo(Math.hypot(yields[0] / 4, moisture_part), 12);
    // 0.9 m of 9 m
    expect(errorWith(0, 0, 0.9)[0]).toBeCloseTo(Math.hypot(yields[0] / 10, moisture_part), 12);
    expect(errorWith(0, 0, 0, 0.04)[0]).toBeCloseTo(Math.hypot(0.04, moisture_part), 12);
    expect([...errorWith(1, 1, 1, 1)].slice(1)).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });
});
