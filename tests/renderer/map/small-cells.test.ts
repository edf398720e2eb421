import { describe, expect, it } from 'vitest';
import { cellYields } from '../../../renderer/map/small-cells.ts';
import { fieldOf } from './columns.ts';

/** Metres a degree of latitude near 42° north, roughly. */
const DEGREE_M = 111_000;

describe('a field as a small picture', () => {
  it('has the mean yield of kept points in each cell, north above, and nothing where nothing was kept', () => {
    // Four places in a square of 100 m, two points on the first; cells as wide as half of it.
    const north = [100, 100, 100, 0, 0].map((metres) => 42 + metres / DEGREE_M);
    const east = [0, 0, 1, 0, 1].map((far) => -93 + far * 0.0012);
    const field = fieldOf(5, {
      latitude_deg: north,
      longitude_deg: east,
      yield_kg_m2: [1, 2, 3, 4, 99],
      screened_by: [0, 0, 0, 0, 3],
    });
    const cells = cellYields(field, { width: 2, height: 2 });
    expect(cells && [cells.across, cells.up]).toEqual([2, 2]);
    expect([...(cells?.yield_kg_m2 ?? [])]).toEqual([1.5, 3, 4, Number.NaN]);
  });

  it('is none where no point has a place', () => {
    expect(
      cellYields(fieldOf(2, { latitude_deg: [Number.NaN, Number.NaN] }), { width: 2, height: 2 }),
    ).toBeUndefined();
  });
});
