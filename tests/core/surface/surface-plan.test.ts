import { describe, expect, it } from 'vitest';
import { type FieldPoints, SCREENING_RULES } from '../../../core/result.ts';
import { cellAt, cellEast_m, cellNorth_m, cellsInside, gridOver } from '../../../core/surface/cell-grid.ts';
import { suggestedCell_m } from '../../../core/surface/cell-size.ts';
import { yieldZones } from '../../../core/surface/field-zones.ts';
import { frameOfPoints } from '../../../core/surface/points-frame.ts';
import { surfaceCells } from '../../../core/surface/surface-cells.ts';
import { surfaceDetails } from '../../../core/surface/surface-details.ts';
import { planSurface, type SurfacePlan } from '../../../core/surface/surface-plan.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { localFrame } from '../../../core/track/local-frame.ts';
import { blockPoints } from '../export/block-points.ts';

const made = blockPoints({
  field: 'Home',
  crop: 'corn',
  length_m: 300,
  passes: 20,
  origin: [-93.7, 41.9],
  mean_kg_m2: 1.1,
});

function planned(
  points: FieldPoints,
  sheet: SurfaceSheet = {},
  outline: readonly Float64Array[] = [],
): SurfacePlan {
  const plan = planSurface(points, outline, sheet);
  if (!plan.ok) throw new Error(plan.error.text);
  return plan.value;
}

describe('cells over a field', () => {
  it('lie on whole multiples of their side', () => {
    const grid = gridOver([12, 31, Number.NaN], [-7, 4, 0], 5);
    expect(grid).toEqual({ west_m: 10, south_m: -10, cell_m: 5, columns: 5, rows: 3 });
    for (const cell of [0, 7, 14])
      expect(cellAt(grid, cellEast_m(grid, cell), cellNorth_m(grid, cell))).toBe(cell);
    expect(cellAt(grid, 9.9, 0)).toBe(-1);
    expect(() => gridOver([], [], 5)).toThrow('one place or more');
    expect(() => gridOver([0, 1e6], [0, 1e6], 1)).toThrow('more than 4000000');
  });

  it('belong to the field when their middle does, holes left out', () => {
    const grid = gridOver([0, 39], [0, 39], 10);
    const square = (low: number, high: number) => Float64Array.of(low, low, high, low, high, high, low, high);
    expect([...cellsInside(grid, [square(4, 36)])]).toEqual([...Array(16).keys()]);
    expect([...cellsInside(grid, [square(6, 34)])]).toEqual([5, 6, 9, 10]);
    expect([...cellsInside(grid, [square(4, 36), square(14, 26)])]).toEqual(
      [...Array(16).keys()].filter((cell) => ![5, 6, 9, 10].includes(cell)),
    );
  });

  it('are as large as the data ask for', () => {
    // 9 m header, a point every 1.5 m: half the width is 4.5, one point a cell 3.67; the next round number is 5
    expect(suggestedCell_m([9, 9, 9], [13.5, 13.5, 13.5])).toBe(5);
    expect(suggestedCell_m([4, 4], [100, 100])).toBe(10);
    expect(suggestedCell_m([9], [0])).toBeNaN();
  });
});

describe('the surface of a field', () => {
  it('is kriged by default, from kept points only', () => {
    const plan = planned(made);
    const kept = made.screened_by.filter((rule) => rule === 0).length;
    expect(plan.places.measured).toHaveLength(kept);
    expect(plan).toMatchObject({ method: 'kriging', block_m: 5, grid: { cell_m: 5 } });
    const cells = surfaceCells(plan);
    // the made field's own pattern, sin and cos over a mean of 1.1
    expect(cells.yield_kg_m2.every((amount) => amount > 0.7 && amount < 1.5)).toBe(true);
    expect(cells.yield_se_kg_m2.every((se) => se > 0 && se < 0.3)).toBe(true);
  });

  it('is the same in one stretch and in several', () => {
    for (const method of ['block_mean', 'inverse_distance', 'kriging'] as const) {
      const plan = planned(made, { method });
      const whole = surfaceCells(plan);
      const cut = 777;
      const parts = [surfaceCells(plan, 0, cut), surfaceCells(plan, cut)];
      for (const name of ['yield_kg_m2', 'yield_se_kg_m2'] as const)
        expect([...parts[0][name], ...parts[1][name]]).toEqual([...whole[name]]);
    }
    expect(() => surfaceCells(planned(made), 5, 4)).toThrow('not 5 to 4');
  });

  it('fills the outline where there is one', () => {
    const outline = [Float64Array.of(0, 0, 100, 0, 100, 200, 0, 200)];
    const plan = planned(made, { cell_m: 10 }, outline);
    expect(plan.cells).toHaveLength(200);
    expect(plan.cells.every((cell) => cellEast_m(plan.grid, cell) < 100)).toBe(true);
  });

  it('fails for cells so large that none has its middle in the outline', () => {
    const outline = [Float64Array.of(0, 0, 100, 0, 100, 200, 0, 200)];
    const plan = planSurface(made, outline, { cell_m: 500 });
    expect(plan.ok ? '' : plan.error.text).toBe(
      'No cell of 500 m has its middle in field "Home"; make the cells smaller.',
    );
  });

  it('takes what the sheet says', () => {
    const model = { nugget: 0.01, partial_sill: 0.02, range_m: 50 };
    const plan = planned(made, {
      cell_m: 8,
      neighbours: 9,
      block_m: 0,
      shape: 'spherical',
      model,
      octant_neighbours: 2,
      search_m: 40,
    });
    expect(plan).toMatchObject({
      grid: { cell_m: 8 },
      block_m: 0,
      search: { most: 9, within_m: 40, most_an_octant: 2 },
      model: { shape: 'spherical', ...model },
    });
    expect(planned(made, { shape: 'gaussian' }).model?.shape).toBe('gaussian');
    expect(planned(made, { point_errors: 'known' }).places.noise_variance).toHaveLength(
      plan.places.measured.length,
    );
  });

  it('says how good it is, with whole passes left out', () => {
    const details = surfaceDetails(planned(made));
    expect(details.cross_validation?.foretold).toBeGreaterThan(1500);
    expect(details.cross_validation?.correlation).toBeGreaterThan(0.5);
    expect(Math.abs(details.cross_validation?.mean_error_kg_m2 ?? 1)).toBeLessThan(0.02);
    expect(details.directions.map(({ azimuth_deg }) => azimuth_deg)).toEqual([0, 45, 90, 135]);
    // the made field's wave is as long as 61 m · 2π across and 83 m · 2π along
    for (const { effective_range_m } of details.directions) expect(effective_range_m).toBeGreaterThan(30);
    expect(details.candidates[0].model).toEqual(details.model);
    expect(JSON.parse(JSON.stringify(details))).toEqual(details);
    const plain = surfaceDetails(planned(made, { method: 'block_mean' }));
    expect(plain).toMatchObject({ cross_validation: null, model: null, variogram: [] });
  });

  it('goes by inverse distance where yields do not differ, and says so', () => {
    const flat = { ...made, yield_kg_m2: made.yield_kg_m2.map(() => 1) };
    const plan = planSurface(flat, []);
    expect(plan.ok && plan.value.method).toBe('inverse_distance');
    expect(plan.notices.map(({ code }) => code)).toEqual(['no_variogram']);
    expect(
      plan.ok && surfaceCells(plan.value).yield_kg_m2.every((amount) => Math.abs(amount - 1) < 1e-12),
    ).toBe(true);
  });

  it('has cells of 10 m where nobody knows what ground the points stand for', () => {
    const absent = made.cut_width_m.map(() => Number.NaN);
    const plan = planned({ ...made, cut_width_m: absent, fresh_area_m2: absent });
    expect(plan.grid.cell_m).toBe(10);
    expect(surfaceCells(plan, 0, 50).yield_kg_m2.every((amount) => amount > 0.7)).toBe(true);
  });

  it('cannot be made of a few points, nor of cells without number', () => {
    const none = { ...made, screened_by: made.screened_by.map(() => 1 + SCREENING_RULES.indexOf('slow')) };
    expect(planSurface(none, [])).toMatchObject({ ok: false, error: { code: 'too_few_points' } });
    expect(planSurface(made, [], { cell_m: 0.05 })).toMatchObject({
      ok: false,
      error: { code: 'cells_too_small' },
    });
  });

  it('has zones that hold all its cells', () => {
    const plan = planned(made, { method: 'inverse_distance' });
    const { yield_kg_m2 } = surfaceCells(plan);
    const { zones, limits_kg_m2 } = yieldZones(plan.grid, plan.cells, yield_kg_m2);
    expect(limits_kg_m2).toHaveLength(4);
    expect(zones.reduce((sum, zone) => sum + zone.area_m2, 0)).toBeCloseTo(25 * plan.cells.length, 4);
    expect(zones.every((zone) => zone.area_m2 >= 499)).toBe(true);
    const mean = zones.reduce((sum, zone) => sum + zone.mean_yield_kg_m2 * zone.cells, 0) / plan.cells.length;
    expect(mean).toBeCloseTo(yield_kg_m2.reduce((sum, amount) => sum + amount, 0) / plan.cells.length, 9);
    expect(() => yieldZones(plan.grid, plan.cells, new Float64Array(2))).toThrow('2 yields');
  });
});

describe('the plane of a field', () => {
  it('is found again from one of its points', () => {
    const frame = localFrame(-93.75, 41.57);
    const plane = { east_m: Float64Array.of(Number.NaN, 3400), north_m: Float64Array.of(0, -2100) };
    const found = frameOfPoints({ ...plane, ...frame.toGeographic(plane.east_m, plane.north_m) });
    expect(found?.longitude0_deg).toBeCloseTo(-93.75, 11);
    expect(found?.latitude0_deg).toBeCloseTo(41.57, 11);
    const nothing = new Float64Array(0);
    expect(
      frameOfPoints({ east_m: nothing, north_m: nothing, longitude_deg: nothing, latitude_deg: nothing }),
    ).toBeUndefined();
  });
});
