import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crossValidateKriging } from '../../../core/surface/cross-validation.ts';
import { InverseDistance } from '../../../core/surface/inverse-distance.ts';
import { OrdinaryKriging } from '../../../core/surface/kriging.ts';
import { mergedPlaces } from '../../../core/surface/merged-places.ts';
import type { MeasuredPlaces } from '../../../core/surface/variogram.ts';
import type { VariogramModel } from '../../../core/surface/variogram-model.ts';

const SHAPES = ['spherical', 'exponential', 'gaussian', 'matern'] as const;

function measured(...rows: readonly (readonly [number, number, number])[]): MeasuredPlaces {
  const column = (k: 0 | 1 | 2) => Float64Array.from(rows, (row) => row[k]);
  return { east_m: column(0), north_m: column(1), measured: column(2) };
}

function kriged(places: MeasuredPlaces, model: VariogramModel, at: readonly [number, number], block_m = 0) {
  const kriging = new OrdinaryKriging(places, model, { block_m });
  kriging.at(at[0], at[1]);
  return { estimate: kriging.estimate, variance: kriging.variance, ridged: kriging.ridged };
}

const model: VariogramModel = { shape: 'exponential', nugget: 0.1, partial_sill: 1, range_m: 20 };

describe('ordinary kriging', () => {
  it('is the textbook answer for two places', () => {
    // by hand: equal weights by symmetry; variance 2·γ(d/2) − γ(d)/2 [Cressie1993 eq 3.2.16]
    const gamma = (h: number) => 0.1 + 1 - Math.exp(-h / 20);
    const found = kriged(measured([0, 0, 4], [10, 0, 8]), model, [5, 0]);
    expect(found.estimate).toBeCloseTo(6, 12);
    expect(found.variance).toBeCloseTo(2 * gamma(5) - gamma(10) / 2, 12);
  });

  it('gives back what was measured, for certain, whatever the model', () => {
    const place = fc.tuple(
      fc.integer({ min: 0, max: 60 }),
      fc.integer({ min: 0, max: 60 }),
      fc.integer({ min: 0, max: 9 }),
    );
    fc.assert(
      fc.property(
        fc.array(place, { minLength: 2, maxLength: 20 }),
        fc.constantFrom(...SHAPES),
        (rows, shape) => {
          const { places } = mergedPlaces(measured(...rows));
          const found = kriged(places, { ...model, shape, nugget: 0.2 }, [
            places.east_m[0],
            places.north_m[0],
          ]);
          expect(found.estimate).toBeCloseTo(places.measured[0], 8);
          expect(found.variance).toBeCloseTo(0, 8);
        },
      ),
      { seed: 8, numRuns: 60 },
    );
  });

  it('does not care where the origin is, nor about what is added to everything', () => {
    const rows = [
      [0, 0, 5],
      [9, 2, 7],
      [3, 8, 6],
      [14, 11, 9],
    ] as const;
    const near = kriged(measured(...rows), model, [6, 5]);
    const far = kriged(
      measured(...rows.map(([e, n, z]) => [e + 4e5, n + 4.8e6, z + 1e6] as const)),
      model,
      [400006, 4800005],
    );
    expect(far.estimate - 1e6).toBeCloseTo(near.estimate, 8);
    expect(far.variance).toBeCloseTo(near.variance, 8);
  });

  it('estimates a block with less doubt than its middle', () => {
    const places = measured([0, 0, 5], [9, 2, 7], [3, 8, 6], [14, 11, 9]);
    const point = kriged(places, model, [6, 5]);
    const block = kriged(places, model, [6, 5], 8);
    expect(block.variance).toBeLessThan(point.variance - model.nugget * 0.9);
    expect(Math.abs(block.estimate - point.estimate)).toBeLessThan(0.2);
  });

  it('looks further along the longer range', () => {
    const places = measured([0, 10, 1], [10, 0, 5]);
    const along: VariogramModel = { ...model, nugget: 0, anisotropy: { azimuth_deg: 0, ratio: 0.25 } };
    expect(kriged(places, along, [0, 0]).estimate).toBeLessThan(2.5);
    expect(
      kriged(places, { ...along, anisotropy: { azimuth_deg: 90, ratio: 0.25 } }, [0, 0]).estimate,
    ).toBeGreaterThan(3.5);
    expect(
      kriged(places, { ...along, anisotropy: { azimuth_deg: 45, ratio: 0.25 } }, [0, 0]).estimate,
    ).toBeCloseTo(3, 12);
  });

  it('trusts a measurement with noise of its own less', () => {
    const places = measured([0, 0, 4], [10, 0, 8]);
    const noisy = { ...places, noise_variance: Float64Array.of(0, 2) };
    expect(kriged(noisy, model, [5, 0]).estimate).toBeLessThan(5.5);
    const everywhere = { ...places, noise_variance: Float64Array.of(0.5, 0.5) };
    expect(kriged(everywhere, model, [0, 0]).estimate).toBeGreaterThan(4.2);
  });

  it('has an answer where measurements nearly repeat each other, and counts that', () => {
    const places = measured([0, 0, 4], [1e-7, 0, 4], [10, 0, 8], [0, 10, 6]);
    const found = kriged(places, { ...model, shape: 'gaussian', nugget: 0 }, [5, 5]);
    expect(found.ridged).toBe(1);
    expect(found.estimate).toBeGreaterThan(4);
    expect(found.estimate).toBeLessThan(8);
  });

  it('has none where nothing is near, and takes no model that is none', () => {
    const places = measured([0, 0, 4], [10, 0, 8]);
    const kriging = new OrdinaryKriging(places, model, { search: { most: 5, within_m: 3 } });
    kriging.at(100, 100);
    expect([kriging.estimate, kriging.variance, kriging.neighbours]).toEqual([Number.NaN, Number.NaN, 0]);
    expect(() => new OrdinaryKriging(places, { ...model, range_m: 0 })).toThrow('range above zero');
    expect(() => new OrdinaryKriging(places, { ...model, nugget: -1 })).toThrow('sill above zero');
    expect(() => new OrdinaryKriging(places, model, { block_m: -1 })).toThrow('zero or more');
  });
});

describe('measurements at one place', () => {
  it('become one', () => {
    const twice = { ...measured([0, 0, 4], [5, 5, 1], [0, 0, 8]), noise_variance: Float64Array.of(1, 1, 3) };
    const { places, rows } = mergedPlaces(twice);
    expect([...rows]).toEqual([0, 1]);
    expect([...places.measured]).toEqual([5, 1]);
    expect([...(places.noise_variance ?? [])]).toEqual([0.75, 1]);
    expect([...mergedPlaces(measured([0, 0, 4], [0, 0, 8], [1, 1, Number.NaN])).places.measured]).toEqual([
      6,
    ]);
  });
});

describe('cross-validation', () => {
  it('leaves whole groups out', () => {
    const places = measured([0, 0, 1], [1, 0, 1], [0, 30, 5], [1, 30, 5]);
    const alone = crossValidateKriging(places, model).figures;
    const paired = crossValidateKriging(places, model, { groups: Int32Array.of(0, 0, 1, 1) }).figures;
    expect(alone.mae).toBeLessThan(1.5);
    expect(paired.mae).toBeCloseTo(4, 9);
    expect(crossValidateKriging(places, model, { most: 2 }).rows).toEqual(Int32Array.of(1, 3));
  });
});

describe('inverse distance', () => {
  it('is the weighted mean, and the measurement where there is one', () => {
    const places = measured([0, 0, 4], [3, 0, 10]);
    expect(new InverseDistance(places).at(1, 0)).toBeCloseTo((4 * 4 + 10) / 5, 12);
    expect(new InverseDistance(places, { power: 1 }).at(1, 0)).toBeCloseTo((2 * 4 + 10) / 3, 12);
    expect(new InverseDistance(places).at(3, 0)).toBe(10);
    expect(new InverseDistance(places, { search: { most: 1, within_m: 1 } }).at(9, 9)).toBeNaN();
    expect(() => new InverseDistance(places, { power: 0 })).toThrow('power above zero');
  });
});
