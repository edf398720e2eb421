import { describe, expect, it } from 'vitest';
import { RibbonIndex } from '../../../core/track/ribbon-index.ts';
import type { Ribbons } from '../../../core/track/ribbons.ts';
import { Random } from '../../synthetic/random.ts';

function ribbonsAt(east_m: Float64Array, north_m: Float64Array): Ribbons {
  const count = east_m.length;
  return {
    count,
    corners: new Float64Array(8 * count),
    east_m,
    north_m,
    last_row: new Int32Array(count),
    row_order: new Int32Array(count),
    way_m: new Float64Array(count),
    spell: new Int32Array(count),
    pass_key: new Int32Array(count),
    reach_m: 1,
  };
}

describe('RibbonIndex', () => {
  it('finds every piece in a box, whatever its size and side of the origin, and none twice', () => {
    const noise = new Random(1, 'track');
    const place = () => Float64Array.from({ length: 3000 }, () => 400 * (noise.uniform() - 0.5));
    const east_m = place();
    const north_m = place();
    const index = new RibbonIndex(ribbonsAt(east_m, north_m));
    for (let box = 0; box < 200; box++) {
      const west = 400 * (noise.uniform() - 0.5);
      const south = 400 * (noise.uniform() - 0.5);
      const east = west + 120 * noise.uniform();
      const north = south + 120 * noise.uniform();
      const found = [...index.near(west, south, east, north)];
      expect(new Set(found).size).toBe(found.length);
      for (let p = 0; p < east_m.length; p++) {
        const inside = east_m[p] >= west && east_m[p] <= east && north_m[p] >= south && north_m[p] <= north;
        if (inside) expect(found).toContain(p);
      }
      // nothing from farther than a cell
      for (const p of found) expect(east_m[p]).toBeGreaterThan(west - 5.001);
    }
  });

  it('is empty where nothing is, and far corners cost nothing', () => {
    const index = new RibbonIndex(ribbonsAt(Float64Array.of(-4e6, 4e6), Float64Array.of(-4e6, 4e6)));
    expect(index.near(-10, -10, 10, 10).length).toBe(0);
    expect([...index.near(4e6 - 1, 4e6 - 1, 4e6 + 1, 4e6 + 1)]).toEqual([1]);
    expect(new RibbonIndex(ribbonsAt(new Float64Array(0), new Float64Array(0))).near(0, 0, 1, 1).length).toBe(
      0,
    );
  });
});
