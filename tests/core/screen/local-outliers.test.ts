import { describe, expect, it } from 'vitest';
import { localOutliers } from '../../../core/screen/local-outliers.ts';
import { Random } from '../../synthetic/random.ts';

/** Passes 9 m apart, a point every 2 m, yields about a slope of the ground. */
function field(passes: number, each: number, noise: number, seed = 1) {
  const random = new Random(seed, 'local outliers');
  const n = passes * each;
  const east_m = Float64Array.from({ length: n }, (_, i) => 9 * Math.floor(i / each));
  const north_m = Float64Array.from({ length: n }, (_, i) => 2 * (i % each));
  const yield_kg_m2 = east_m.map(
    (east, i) => 1 + 0.0005 * east + 0.0003 * north_m[i] + noise * random.normal(),
  );
  return { east_m, north_m, yield_kg_m2 };
}

const all = (n: number) => Int32Array.from({ length: n }, (_, i) => i);
const options = { cell_m: 13.5, deviations_max: 5 };

describe('local outliers', () => {
  it('leave a field with a slope and noise alone', () => {
    const points = field(40, 100, 0.03);
    const caught = localOutliers(points, all(4000), options).reduce((sum, mark) => sum + mark, 0);
    // normal noise passes 5 standard deviations once in 1.7 million; trends within a cell leave some room
    expect(caught).toBe(0);
  });

  it('find single points, and a stretch of one pass that is wrong as a whole', () => {
    const points = field(40, 100, 0.03);
    const wrong = [333, ...Array.from({ length: 12 }, (_, k) => 2040 + k)];
    for (const row of wrong) points.yield_kg_m2[row] *= 0.7;
    const marks = localOutliers(points, all(4000), options);
    expect(Array.from(marks, (mark, row) => (mark ? row : -1)).filter((row) => row >= 0)).toEqual(wrong);
  });

  it('ask only the points that are given', () => {
    const points = field(20, 50, 0.03);
    // every other point is absurd, but screened before
    for (let i = 0; i < 1000; i += 2) points.yield_kg_m2[i] = 50;
    const odd = Int32Array.from({ length: 500 }, (_, k) => 2 * k + 1);
    expect(localOutliers(points, odd, options)).toEqual(new Uint8Array(1000));
  });

  it('do not judge points with few neighbours, nor a field without spread', () => {
    const few = {
      east_m: Float64Array.of(0, 1, 2),
      north_m: new Float64Array(3),
      yield_kg_m2: Float64Array.of(1, 1, 9),
    };
    expect([...localOutliers(few, all(3), options)]).toEqual([0, 0, 0]);
    const even = field(5, 20, 0);
    even.yield_kg_m2.fill(1);
    even.yield_kg_m2[50] = 1.1;
    expect(localOutliers(even, all(100), options)).toEqual(new Uint8Array(100));
    expect(localOutliers(even, all(100), { cell_m: Number.NaN, deviations_max: 5 })).toEqual(
      new Uint8Array(100),
    );
    expect(localOutliers({ ...few, east_m: new Float64Array() }, new Int32Array(), options)).toHaveLength(3);
  });
});
