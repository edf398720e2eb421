import { describe, expect, it } from 'vitest';
import { empiricalVariogram, type MeasuredPlaces } from '../../../core/surface/variogram.ts';
import {
  estimateVariogram,
  variogramCandidates,
  weightedSquares,
} from '../../../core/surface/variogram-fit.ts';
import {
  correlationOf,
  effectiveRange_m,
  semivarianceOf,
  VARIOGRAM_SHAPES,
  type VariogramModel,
} from '../../../core/surface/variogram-model.ts';

/** What an empirical variogram would be, were it without chance. */
function exact(model: VariogramModel) {
  const distance_m = Float64Array.from({ length: 15 }, (_, k) => 5 + 10 * k);
  return {
    pairs: distance_m.map((_, k) => 500 + 40 * k),
    distance_m,
    semivariance: distance_m.map(semivarianceOf(model)),
    cutoff_m: 150,
    width_m: 10,
  };
}

describe('the empirical variogram', () => {
  const line: MeasuredPlaces = {
    east_m: Float64Array.of(0, 1, 3, 3, Number.NaN),
    north_m: Float64Array.of(0, 0, 0, 0, 0),
    measured: Float64Array.of(1, 2, 4, 8, 9),
  };

  it('puts each pair into its class, the upper limit included', () => {
    // distances 1: 0.5·1; 2, 2: 0.5·(4 + 36)/2; 3, 3: 0.5·(9 + 49)/2; 0: 0.5·16
    const found = empiricalVariogram(line, { cutoff_m: 3, width_m: 1 });
    expect([...found.pairs]).toEqual([2, 2, 2]);
    expect([...found.distance_m]).toEqual([0.5, 2, 3]);
    expect([...found.semivariance]).toEqual([4.25, 10, 14.5]);
  });

  it('takes pairs along a direction only', () => {
    const corner = { ...line, north_m: Float64Array.of(0, 0, 0, 5, 0) };
    const east = empiricalVariogram(corner, { cutoff_m: 10, width_m: 10, azimuth_deg: 90 });
    expect([...east.pairs]).toEqual([3]);
    const north = empiricalVariogram(corner, { cutoff_m: 10, width_m: 10, azimuth_deg: 180 });
    expect([...north.pairs]).toEqual([2]);
  });

  it('from a part of the pairs is near the one from all', () => {
    const count = 900;
    const grid: MeasuredPlaces = {
      east_m: Float64Array.from({ length: count }, (_, i) => i % 30),
      north_m: Float64Array.from({ length: count }, (_, i) => Math.floor(i / 30)),
      measured: Float64Array.from(
        { length: count },
        (_, i) => Math.sin((i % 30) / 5) + ((i * 7919) % 13) / 13,
      ),
    };
    const bins = { cutoff_m: 9, width_m: 3 };
    const all = empiricalVariogram(grid, bins);
    expect(empiricalVariogram(grid, { ...bins, most_pairs: 1e9 }).pairs).toEqual(all.pairs);
    const some = empiricalVariogram(grid, { ...bins, most_pairs: 20_000 });
    expect(some.pairs[0]).toBeLessThan(all.pairs[0] / 5);
    some.semivariance.forEach((semivariance, k) => {
      expect(Math.abs(semivariance / all.semivariance[k] - 1)).toBeLessThan(0.1);
    });
  });

  it('has no rows where there are no pairs, and takes no bins that are none', () => {
    const one = { east_m: new Float64Array(1), north_m: new Float64Array(1), measured: new Float64Array(1) };
    expect(empiricalVariogram(one).pairs).toHaveLength(0);
    expect(() => empiricalVariogram(line, { cutoff_m: -1 })).toThrow('cutoff and a width above zero');
    expect(() => empiricalVariogram(line, { azimuth_deg: 0, tolerance_deg: 0 })).toThrow(
      'tolerance above zero',
    );
    expect(() => empiricalVariogram({ ...line, east_m: new Float64Array(2) })).toThrow('2 eastings');
  });
});

describe('models of a variogram', () => {
  it('have the published values', () => {
    const at = (shape: VariogramModel['shape'], smoothness?: 1.5 | 2.5) =>
      correlationOf({ shape, range_m: 10, smoothness })(5);
    // [ChilesDelfiner2012 §2.5.1] at half the range
    expect(at('spherical')).toBe(0.3125);
    expect(at('exponential')).toBeCloseTo(Math.exp(-0.5), 14);
    expect(at('gaussian')).toBeCloseTo(Math.exp(-0.25), 14);
    // K of 3/2 at 0.5 is √(π/2x) e⁻ˣ (1 + 1/x) [AbramowitzStegun1964 10.2.17]; 2^(−1/2)/Γ(3/2) x^(3/2) K
    const bessel = Math.sqrt(Math.PI) * Math.exp(-0.5) * 3;
    expect(at('matern')).toBeCloseTo((2 ** -0.5 / (Math.sqrt(Math.PI) / 2)) * 0.5 ** 1.5 * bessel, 14);
    expect(at('matern', 2.5)).toBeCloseTo((1 + 0.5 + 0.25 / 3) * Math.exp(-0.5), 14);
  });

  it('reach 95 % of their sill at the effective range', () => {
    const model: VariogramModel = { shape: 'exponential', nugget: 0, partial_sill: 1, range_m: 10 };
    expect(effectiveRange_m(model)).toBeCloseTo(10 * Math.log(20), 6);
    expect(effectiveRange_m({ ...model, shape: 'spherical' })).toBe(10);
  });

  it('are found again, whatever their shape', () => {
    for (const shape of VARIOGRAM_SHAPES) {
      const model: VariogramModel = { shape, nugget: 0.3, partial_sill: 1.7, range_m: 42 };
      const found = estimateVariogram(exact(model), shape);
      expect(found?.model.range_m).toBeCloseTo(42, 4);
      expect(found?.model.nugget).toBeCloseTo(0.3, 5);
      expect(found?.model.partial_sill).toBeCloseTo(1.7, 5);
      expect(found?.explained).toBeCloseTo(1, 8);
      expect(variogramCandidates(exact(model))[0].model.shape).toBe(shape);
    }
  });

  it('have no sill below zero', () => {
    const rising = { ...exact({ shape: 'exponential', nugget: 0, partial_sill: 1, range_m: 30 }) };
    const below = { ...rising, semivariance: rising.semivariance.map((gamma) => Math.max(0, gamma - 0.3)) };
    for (const { model } of variogramCandidates(below))
      expect(Math.min(model.nugget, model.partial_sill)).toBeGreaterThanOrEqual(0);
    const flat = { ...rising, semivariance: rising.semivariance.map((_, k) => 2 - k / 100) };
    expect(estimateVariogram(flat, 'spherical')?.model.partial_sill).toBeLessThan(0.05);
  });

  it('are none where nothing differs or too little is known', () => {
    const some = exact({ shape: 'exponential', nugget: 0, partial_sill: 1, range_m: 30 });
    expect(estimateVariogram({ ...some, semivariance: new Float64Array(15) }, 'spherical')).toBeUndefined();
    expect(variogramCandidates({ ...some, pairs: some.pairs.slice(0, 2) })).toEqual([]);
  });

  it('entered by hand are judged by the same squares', () => {
    const model: VariogramModel = { shape: 'spherical', nugget: 0.3, partial_sill: 1.7, range_m: 42 };
    expect(weightedSquares(exact(model), model)).toBeCloseTo(0, 12);
    expect(weightedSquares(exact(model), { ...model, nugget: 1.3 }, 'equal')).toBeCloseTo(15, 9);
  });
});
