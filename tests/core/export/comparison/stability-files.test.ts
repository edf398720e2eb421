import type { FeatureCollection } from 'geojson';
import { describe, expect, it } from 'vitest';
import { seasonStability } from '../../../../core/analysis/seasons/stability.ts';
import { stabilityFiles } from '../../../../core/export/comparison/stability-files.ts';
import { localFrame } from '../../../../core/track/local-frame.ts';

/** Two cells of 20 m about the origin, east to west. */
const GRID = { west_m: -20, south_m: 0, cell_m: 20, columns: 2, rows: 1 };

function cellsAt(longitude_deg: number): FeatureCollection {
  const surface = (name: string, east: number) => ({
    name,
    field: 'Home',
    crop: 'corn',
    matched_by: 'name' as const,
    shared_ground: 1,
    grid: GRID,
    cells: Int32Array.of(0, 1),
    yield_kg_m2: Float64Array.of(1, east),
  });
  const made = seasonStability(GRID, [surface('2025', 1), surface('2026', 0.8)]);
  const files = stabilityFiles(made, localFrame(longitude_deg, -17), {
    field: 'Home',
    generated_by: 'test 1',
  });
  const [geojson] = files.filter(({ name }) => name === 'stability.geojson');
  return JSON.parse([...geojson.pieces].join(''));
}

describe('stability of seasons as files', () => {
  it('are cells with their class, mean and sway', () => {
    const { features, bbox } = cellsAt(9);
    // 100 and 111.1 % in the west, 100 and 88.9 % in the east
    expect(features.map(({ properties }) => properties)).toEqual([
      { class: 'high and stable', mean_pct: 105.6, cv_pct: 7.4, seasons: 2 },
      { class: 'low and stable', mean_pct: 94.4, cv_pct: 8.3, seasons: 2 },
    ]);
    expect(features.map(({ geometry }) => geometry.type)).toEqual(['Polygon', 'Polygon']);
    const [west, , east] = bbox ?? [];
    expect(west).toBeLessThan(9);
    expect(east).toBeGreaterThan(9);
  });

  it('are cut along the 180° meridian, as RFC 7946 §3.1.9 and §5.2 ask', () => {
    const { features, bbox } = cellsAt(179.99995);
    expect(features.map(({ geometry }) => geometry.type)).toEqual(['Polygon', 'MultiPolygon']);
    const [west, , east] = bbox ?? [];
    expect(west).toBeGreaterThan(179);
    expect(east).toBeLessThan(-179);
  });
});
