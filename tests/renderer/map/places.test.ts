import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { groundOf } from '../../../renderer/map/ground.ts';
import { rowAt, swathCorners } from '../../../renderer/map/hit-test.ts';
import { lassoMask } from '../../../renderer/map/lasso.ts';
import { PointIndex } from '../../../renderer/map/point-index.ts';
import { fieldOf } from './columns.ts';

const places = fc
  .array(fc.tuple(fc.integer({ min: -500, max: 500 }), fc.integer({ min: -500, max: 500 })), {
    minLength: 1,
    maxLength: 300,
  })
  .map((pairs) => Float32Array.from(pairs.flat()));

describe('index of points', () => {
  it('finds just those in a box', () => {
    fc.assert(
      fc.property(
        places,
        fc.integer({ min: -500, max: 400 }),
        fc.integer({ min: 0, max: 300 }),
        (xy, low, span) => {
          const found: number[] = [];
          new PointIndex(xy).forEachIn(low, low, low + span, low + span, (row) => found.push(row));
          const isIn = (x: number) => x >= low && x <= low + span;
          const expected = Array.from({ length: xy.length / 2 }, (_, row) => row).filter(
            (row) => isIn(xy[2 * row]) && isIn(xy[2 * row + 1]),
          );
          expect(found.sort((a, b) => a - b)).toEqual(expected);
        },
      ),
    );
  });

  it('finds the nearest within reach', () => {
    fc.assert(
      fc.property(places, fc.integer({ min: -600, max: 600 }), (xy, at) => {
        const distance = (row: number) => Math.hypot(xy[2 * row] - at, xy[2 * row + 1] - at);
        const rows = Array.from({ length: xy.length / 2 }, (_, row) => row);
        const least = Math.min(...rows.map(distance));
        const found = new PointIndex(xy).nearest(at, at, 150);
        if (least > 150.001) expect(found).toBe(-1);
        else if (least < 149.999) expect(distance(found)).toBeCloseTo(least, 9);
      }),
    );
  });

  it('leaves rows without a place out, and may be empty', () => {
    const index = new PointIndex(Float32Array.of(Number.NaN, 1, 5, 5));
    expect(index.nearest(0, 1, 3)).toBe(-1);
    expect(index.nearest(5, 4, 3)).toBe(1);
    expect(new PointIndex(new Float32Array(0)).nearest(0, 0, 10)).toBe(-1);
  });
});

describe('what lies under a place', () => {
  // Two swaths of 10 m by 2 m, the later 4 m east of the earlier: they overlap, and the earlier is on top.
  const columns = fieldOf(2, { longitude_deg: [-93, -93 + 4 / (111_320 * Math.cos((42 * Math.PI) / 180))] });
  const ground = groundOf(columns);
  if (!ground) throw new Error('no ground');
  const index = new PointIndex(ground.xy_m);
  const at = (east_m: number, north_m: number, reach_m = 0.5) =>
    rowAt(columns, ground, index, {
      east_m: ground.xy_m[0] + east_m,
      north_m: ground.xy_m[1] + north_m,
      reach_m,
    });

  it('is the swath that is drawn on top', () => {
    expect(at(0, 0)).toBe(0);
    expect(at(4.5, 0.9)).toBe(0);
    expect(at(6, 0)).toBe(1);
  });

  it('is the nearest middle where there is no swath, and nothing further off', () => {
    expect(at(0, 3, 4)).toBe(0);
    expect(at(5, 3, 4)).toBe(1);
    expect(at(0, 3, 1)).toBe(-1);
    expect(at(40, 0)).toBe(-1);
  });

  it('has corners half its sides away, turned with its heading', () => {
    const turned = fieldOf(1, { heading_rad: [Math.PI / 2] });
    const own = groundOf(turned);
    if (!own) throw new Error('no ground');
    const corners = swathCorners(turned, own, 0).map((x, i) => x - own.xy_m[i % 2]);
    // Going east: 1 m ahead and behind, 5 m to the south and north.
    expect(corners).toEqual([1, -5, 1, 5, -1, 5, -1, -5].map((x) => expect.closeTo(x, 4)));
    expect(swathCorners(fieldOf(1, { cut_width_m: [0] }), own, 0)).toEqual([]);
  });
});

describe('lasso', () => {
  it('holds what is inside, by the even–odd rule', () => {
    const xy = Float32Array.of(1, 1, 5, 5, 9, 1, Number.NaN, 2);
    expect([...lassoMask(xy, [0, 0, 6, 0, 6, 6, 0, 6])]).toEqual([1, 1, 0, 0]);
    // A line that crosses itself to a bow tie: the middle of its side is outside.
    expect([...lassoMask(Float32Array.of(1, 5, 5, 2), [0, 0, 10, 10, 10, 0, 0, 10])]).toEqual([1, 0]);
    expect([...lassoMask(xy, [0, 0, 1, 1])]).toEqual([0, 0, 0, 0]);
  });

  it('agrees with a test of every edge for any line', () => {
    const rings = fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 6, maxLength: 60 });
    fc.assert(
      fc.property(places, rings, (xy, given) => {
        const ring = given.slice(0, given.length - (given.length % 2));
        const mask = lassoMask(xy, ring);
        expect([...mask]).toEqual([...mask].map((_, row) => crossed(xy[2 * row], xy[2 * row + 1], ring) % 2));
      }),
    );
  });
});

function crossed(x: number, y: number, ring: readonly number[]): number {
  let count = 0;
  for (let i = 0; i < ring.length; i += 2) {
    const [x0, y0] = [ring[i], ring[i + 1]];
    const [x1, y1] = [ring[(i + 2) % ring.length], ring[(i + 3) % ring.length]];
    if (y0 > y !== y1 > y && x < x0 + ((x1 - x0) * (y - y0)) / (y1 - y0)) count++;
  }
  return count;
}
