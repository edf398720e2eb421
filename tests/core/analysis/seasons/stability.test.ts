import { describe, expect, it } from 'vitest';
import { commonGrid, inFrame, sameField } from '../../../../core/analysis/seasons/common-ground.ts';
import { type SeasonSurface, seasonStability } from '../../../../core/analysis/seasons/stability.ts';
import { frameOfPoints } from '../../../../core/surface/points-frame.ts';
import { trialPoints } from '../comparison/strip-trial.ts';

const GRID = { west_m: 0, south_m: 0, cell_m: 5, columns: 4, rows: 1 };

function season(name: string, yield_kg_m2: readonly number[], grid = GRID): SeasonSurface {
  return {
    name,
    field: 'Home',
    crop: 'corn',
    matched_by: 'name',
    shared_ground: 1,
    grid,
    cells: Int32Array.from(yield_kg_m2, (_, k) => k),
    yield_kg_m2: Float64Array.from(yield_kg_m2),
  };
}

describe('the grid of all seasons', () => {
  it('holds the ground of each, and is none where its cells would be too many', () => {
    const near = trialPoints({ treatments: ['A', 'A', 'A', 'A'], yieldAt: () => 1 });
    const far = { ...near, east_m: near.east_m.map((east) => east + 500) };
    const grid = commonGrid([near, far], 10);
    const ends = [Math.min(...near.east_m), Math.max(...far.east_m)];
    expect(grid?.west_m).toBeLessThan(ends[0]);
    expect((grid?.west_m ?? 0) + (grid?.columns ?? 0) * 10).toBeGreaterThan(ends[1]);
    expect(commonGrid([near, { ...near, east_m: near.east_m.map((east) => east + 1e6) }], 1)).toBeUndefined();
  });
});

describe('stability over seasons', () => {
  it('takes each season as % of its own mean, whatever its level', () => {
    // means 1 and 0.5; places 120 and 110, 110 and 110, 110 and 20, 60 and 160 %
    const made = seasonStability(GRID, [
      season('2025', [1.2, 1.1, 1.1, 0.6]),
      season('2026', [0.55, 0.55, 0.1, 0.8]),
    ]);
    expect([...made.mean_pct]).toEqual([115, 110, 65, 110].map((mean) => expect.closeTo(mean, 9)));
    // CV of two: |a − b| / √2 over their mean
    expect(made.cv_pct[0]).toBeCloseTo((100 * 10) / Math.SQRT2 / 115, 9);
    expect([...made.class]).toEqual([0, 0, 2, 2]);
    expect(made.seasons.map(({ mean_yield_kg_m2 }) => mean_yield_kg_m2)).toEqual([
      expect.closeTo(1, 12),
      expect.closeTo(0.5, 12),
    ]);
    expect(made.classes[0]).toMatchObject({ name: 'high and stable', cells: 2, area_ha: 0.005, share: 0.5 });
    expect(made.definition).toMatch(/above 30 %.*100 % or more.*Blackmore 2000/);
  });

  it('goes by the thresholds of the sheet, and leaves out what one season alone has', () => {
    const seasons = [season('2025', [1.2, 1.1, 1.1, 0.6]), season('2026', [0.55, 0.55, Number.NaN, 0.4])];
    const made = seasonStability(GRID, seasons, { high_pct: 109, unstable_cv_pct: 50 });
    expect([...made.cells]).toEqual([0, 1, 3]);
    expect([...made.class]).toEqual([0, 0, 1]);
    expect(seasonStability(GRID, seasons, { high_pct: 111 }).class[1]).toBe(1);
  });

  it('lays grids of other corners upon each other', () => {
    const shifted = { ...GRID, west_m: 5, columns: 3 };
    const made = seasonStability(GRID, [season('2025', [1, 1, 1, 1]), season('2026', [1, 2, 3], shifted)]);
    expect([...made.cells]).toEqual([1, 2, 3]);
    expect([...made.seasons[1].percent]).toEqual([50, 100, 150]);
    expect(() => seasonStability(GRID, [season('2025', [1])])).toThrow(/two seasons/);
  });
});

describe('the same field in another season', () => {
  const field = trialPoints({ treatments: ['A', 'A', 'A', 'A', 'A', 'A'], yieldAt: () => 1 });
  const frame = frameOfPoints(field);
  if (frame === undefined) throw new Error('no frame');
  const moved = (name: string, east_m: number) => ({
    ...inFrame(field, frame),
    field: name,
    east_m: field.east_m.map((east) => east + east_m),
  });

  it('has its name and its ground, or its ground alone', () => {
    const plane = inFrame(field, frame);
    expect(plane.east_m[100]).toBeCloseTo(field.east_m[100], 5);
    expect(sameField(field, [moved('Other', 0), moved(' home ', 5)])).toMatchObject({ by: 'name' });
    expect(sameField(field, [moved('Home', 900), moved('Back forty', 5)])).toMatchObject({
      by: 'ground',
      points: { field: 'Back forty' },
    });
    expect(sameField(field, [moved('Home', 900)])).toBeUndefined();
  });
});
