import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bulkDensityAtMoisture } from '../../../core/grain/bulk-density.ts';
import {
  dryMatterMass,
  dryMatterShrinkPct,
  massAfterShrink,
  massAtMoisture,
  policyShrinkPct,
  waterMass,
} from '../../../core/grain/moisture.ts';
import { LEAST_YIELD_AREA_M2, yieldFromMass } from '../../../core/grain/yield.ts';

const mass = fc.double({ min: 1e-3, max: 1e6, noNaN: true });
const moisture = fc.double({ min: 0, max: 60, noNaN: true });

describe('moisture', () => {
  test('drying moves water only', () => {
    fc.assert(
      fc.property(mass, moisture, moisture, (wet_kg, from, to) => {
        const dried_kg = massAtMoisture(wet_kg, from, to);
        expect(dryMatterMass(dried_kg, to) / dryMatterMass(wet_kg, from)).toBeCloseTo(1, 12);
        expect((dryMatterMass(wet_kg, from) + waterMass(wet_kg, from)) / wet_kg).toBeCloseTo(1, 12);
        expect(massAfterShrink(wet_kg, dryMatterShrinkPct(from, to)) / dried_kg).toBeCloseTo(1, 10);
        expect(massAtMoisture(dried_kg, to, from) / wet_kg).toBeCloseTo(1, 12);
      }),
    );
  });

  test('what is not a moisture has no answer', () => {
    for (const wrong of [-1, 100, 150, Number.NaN]) {
      expect(massAtMoisture(1, wrong, 15)).toBeNaN();
      expect(policyShrinkPct(wrong, 15, { per_point_pct: 1.4, handling_pct: 0 })).toBeNaN();
    }
  });

  test('dry grain pays for handling only', () => {
    expect(policyShrinkPct(12, 15, { per_point_pct: 1.2, handling_pct: 0.5 })).toBe(0.5);
  });

  test('density of grain that neither dries nor wets stays', () => {
    fc.assert(
      fc.property(moisture, (at) => {
        expect(bulkDensityAtMoisture(720, at, at)).toBeCloseTo(720, 10);
      }),
    );
  });
});

describe('yield where the ground shrinks to nothing', () => {
  test('no ground, no yield; never infinite', () => {
    for (const area_m2 of [0, -1, LEAST_YIELD_AREA_M2 * 0.999, Number.NaN, Number.MIN_VALUE])
      expect(yieldFromMass(5, area_m2)).toBeNaN();
    expect(yieldFromMass(5, LEAST_YIELD_AREA_M2)).toBe(5 / LEAST_YIELD_AREA_M2);
    expect(yieldFromMass(Number.NaN, 10)).toBeNaN();
    expect(yieldFromMass(0, 10)).toBe(0);
  });
});
