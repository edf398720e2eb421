import { describe, expect, it } from 'vitest';
import { stripErrors } from '../../../../core/analysis/comparison/strip-errors.ts';
import { Random } from '../../../synthetic/random.ts';
import { randomSurface } from '../../../synthetic/random-surface.ts';
import { trialPoints } from './strip-trial.ts';

const points = trialPoints({ treatments: Array(12).fill('A'), yieldAt: () => 1 });
const rows = Array.from({ length: 12 }, (_, strip) =>
  Int32Array.from({ length: 60 }, (_, k) => 60 * strip + k),
);

describe('errors of strip means', () => {
  it('are s/√n where points have no neighbours', () => {
    const errors = stripErrors(points, rows, {
      shape: 'exponential',
      nugget: 0.04,
      partial_sill: 0,
      range_m: 1,
    });
    for (const { se_kg_m2, effective_points } of errors) {
      expect(se_kg_m2).toBeCloseTo(0.2 / Math.sqrt(60), 12);
      expect(effective_points).toBeCloseTo(60, 9);
    }
  });

  // Matérn 3/2 of the simulator: (1 + √3 r/a) exp(−√3 r/a), its practical range 2.739 a
  it('are the scatter of strips over many fields of such ground', () => {
    const range_m = 60;
    const scale_m = range_m / 2.739 / Math.sqrt(3);
    const model = { shape: 'matern', smoothness: 1.5, nugget: 0, partial_sill: 1, range_m: scale_m } as const;
    const squares = Array.from({ length: 150 }, (_, seed) => {
      const ground = randomSurface(new Random(seed, 'strips'), range_m);
      const means = rows.map(
        (own) =>
          own.reduce((sum, row) => sum + ground.at(points.east_m[row], points.north_m[row]), 0) / own.length,
      );
      const middle = means.reduce((sum, mean) => sum + mean, 0) / 12;
      return means.reduce((sum, mean) => sum + (mean - middle) ** 2, 0) / 11;
    });
    const scatter = Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
    const errors = stripErrors(points, rows, model);
    const said = Math.sqrt(errors.reduce((sum, { se_kg_m2 }) => sum + se_kg_m2 ** 2, 0) / 12);
    expect(said / scatter).toBeGreaterThan(0.93);
    expect(said / scatter).toBeLessThan(1.07);
    for (const { effective_points } of errors) expect(effective_points).toBeLessThan(6);
  });

  it('are none without a variogram or another strip', () => {
    expect(stripErrors(points, rows, undefined)[0].se_kg_m2).toBeNaN();
    const model = { shape: 'exponential', nugget: 0, partial_sill: 1, range_m: 30 } as const;
    expect(stripErrors(points, rows.slice(0, 1), model)[0].effective_points).toBeNaN();
  });
});
