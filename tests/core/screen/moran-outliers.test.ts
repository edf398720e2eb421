import { describe, expect, it } from 'vitest';
import { moranOutliers } from '../../../core/screen/moran-outliers.ts';
import { localMoran, nearestNeighbours } from '../../../core/stats/moran.ts';
import { Random } from '../../synthetic/random.ts';

/** Passes 9 m apart, a point every 3 m, a yield that rises across the field. */
function field(noise: number) {
  const random = new Random(4, 'moran outliers');
  const east_m = Float64Array.from({ length: 900 }, (_, i) => 9 * Math.floor(i / 30));
  const north_m = Float64Array.from({ length: 900 }, (_, i) => 3 * (i % 30));
  const yield_kg_m2 = east_m.map((east) => 0.8 + 0.002 * east + noise * random.normal());
  return { east_m, north_m, yield_kg_m2 };
}

const all = Int32Array.from({ length: 900 }, (_, i) => i);
const marked = (marks: Uint8Array) =>
  Array.from(marks, (mark, row) => (mark ? row : -1)).filter((row) => row >= 0);

describe('outliers by local Moran’s index', () => {
  it('are low points among high ones and high ones among low', () => {
    const points = field(0.01);
    points.yield_kg_m2[845] = 0.6;
    points.yield_kg_m2[75] = 1.6;
    expect(marked(moranOutliers(points, all, 0.001))).toEqual([75, 845]);
  });

  it('are those that the index itself names, among the points given', () => {
    const points = field(0.15);
    const { index, p } = localMoran(points.yield_kg_m2, nearestNeighbours(points.east_m, points.north_m, 24));
    const named = [...all].filter((i) => index[i] < 0 && p[i] < 0.05);
    expect(named.length).toBeGreaterThan(0);
    expect(marked(moranOutliers(points, all, 0.05))).toEqual(named);
    const some = all.filter((row) => row !== named[0]);
    expect(marked(moranOutliers(points, some, 0.05))).not.toContain(named[0]);
  });

  it('are not sought among too few points, equal yields or yields that do not exist', () => {
    const points = field(0.01);
    expect(marked(moranOutliers(points, all.slice(0, 24), 0.9))).toEqual([]);
    expect(
      marked(moranOutliers({ ...points, yield_kg_m2: new Float64Array(900).fill(1) }, all, 0.9)),
    ).toEqual([]);
    points.yield_kg_m2[10] = Number.NaN;
    expect(marked(moranOutliers(points, all, 0.9))).not.toContain(10);
  });
});
