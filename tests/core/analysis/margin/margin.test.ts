import { describe, expect, it } from 'vitest';
import { type HectareGrain, marginOf, marginsOfYields } from '../../../../core/analysis/margin/margin.ts';
import { kgFromLb } from '../../../../core/units.ts';

const CORN: HectareGrain = {
  mass_wet_kg: kgFromLb(56_000),
  moisture_pct: 26,
  standard_moisture_pct: 15,
  bushel_kg: kgFromLb(56),
};

describe('margin of a hectare', () => {
  // Purdue Corn & Soybean Field Guide: 56,000 lb (1,000 wet bu) at 26 % are 870.588 bu at 15 %
  it('pays for what dry-matter shrink leaves', () => {
    const margin = marginOf(CORN, { crop: 'corn', price_per_bu: 4 }, []);
    expect(margin.revenue_per_ha).toBeCloseTo(4 * 870.588, 2);
    expect(margin.shrink).toEqual({ label: 'dry-matter shrink', pct: expect.closeTo(12.9412, 4) });
    expect(margin.sold_t_ha).toBeCloseTo(margin.yield_t_ha, 12);
  });

  // crop-insurance rule: corn at 20 %, 1.2 % a point to 15 %: 1,000 bu → 940 bu (dry matter: 941.18)
  it('pays for what policy shrink leaves, which is another number', () => {
    const grain = { ...CORN, moisture_pct: 20 };
    const policy = { method: 'policy', per_point_pct: 1.2 } as const;
    const by = (shrink?: typeof policy) =>
      marginOf(grain, { crop: 'corn', price_per_bu: 1, ...(shrink && { shrink }) }, []);
    expect(by(policy).revenue_per_ha).toBeCloseTo(940, 9);
    expect(by(policy).shrink.label).toBe('policy shrink');
    expect(by().revenue_per_ha).toBeCloseTo(941.18, 2);
  });

  // Nebraska CropWatch 2017: 75 bu/ac of soybean (13 %) are sold at 9 % as 3.3 bu/ac fewer
  it('pays dry grain as it weighs', () => {
    const standard_kg = 75 * kgFromLb(60);
    const grain = {
      mass_wet_kg: (standard_kg * 87) / 91,
      moisture_pct: 9,
      standard_moisture_pct: 13,
      bushel_kg: kgFromLb(60),
    };
    const margin = marginOf(grain, { crop: 'soybean', price_per_bu: 1 }, []);
    expect(75 - margin.revenue_per_ha).toBeCloseTo(3.3, 1);
    expect(margin.drying_per_ha).toBe(0);
  });

  it('takes drying, hauling and the costs of the ground off, and says where nothing is left', () => {
    const price = { crop: 'corn', price_per_t: 160, drying_per_point_t: 2, hauling_per_t: 5 };
    const costs = [
      { name: 'seed', per_ha: 250 },
      { name: 'nitrogen', per_ac: 100 },
    ];
    const margin = marginOf(
      { ...CORN, mass_wet_kg: 12_000, moisture_pct: 20, standard_moisture_pct: 15.5 },
      price,
      costs,
    );
    expect(margin.drying_per_ha).toBeCloseTo(4.5 * 12 * 2, 9);
    expect(margin.hauling_per_ha).toBe(60);
    // an acre is 0.40468564224 ha [NIST SP 811]
    expect(margin.costs_per_ha).toBeCloseTo(250 + 100 / 0.40468564224, 9);
    expect(margin.margin_per_ha).toBeCloseTo((12 * 80 * 160) / 84.5 - 108 - 60 - margin.costs_per_ha, 9);
    const [none, same] = marginsOfYields(
      Float64Array.of(margin.break_even_t_ha ?? Number.NaN, margin.yield_t_ha),
      margin,
    );
    expect(none).toBeCloseTo(0, 9);
    expect(same).toBeCloseTo(margin.margin_per_ha, 9);
  });

  it('has no break-even yield where grain brings nothing', () => {
    const margin = marginOf(CORN, { crop: 'corn', price_per_t: 10, hauling_per_t: 20 }, [
      { name: 'seed', per_ha: 1 },
    ]);
    expect(margin.break_even_t_ha).toBeNull();
  });

  it('needs a bushel for a price by the bushel', () => {
    expect(() => marginOf({ ...CORN, bushel_kg: Number.NaN }, { crop: 'hemp', price_per_bu: 4 }, [])).toThrow(
      /bushel/,
    );
  });
});
