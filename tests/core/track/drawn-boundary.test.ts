import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readBoundary } from '../../../core/read/boundaries.ts';
import {
  type DrawnRing,
  drawnArea_m2,
  drawnBoundaryText,
  drawnFault,
} from '../../../core/track/drawn-boundary.ts';

/** A square of `side` degrees with its south-west corner at a place. */
function square(west: number, south: number, side: number): DrawnRing {
  return [
    [west, south],
    [west + side, south],
    [west + side, south + side],
    [west, south + side],
  ];
}

describe('rings as drawn', () => {
  it('are sound when they only touch', () => {
    expect(drawnFault([square(10, 50, 0.01), square(10.01, 50, 0.01)])).toBeUndefined();
    expect(drawnFault([square(10, 50, 0.01), square(10.002, 50.002, 0.002)])).toBeUndefined();
  });

  it('that cross themselves are refused with the place', () => {
    const bow: DrawnRing = [
      [10, 50],
      [10.02, 50.02],
      [10.02, 50],
      [10, 50.02],
    ];
    const fault = drawnFault([bow]);
    expect(fault?.place[0]).toBeCloseTo(10.01, 12);
    expect(fault?.place[1]).toBeCloseTo(50.01, 12);
    expect(fault?.text).toBe(
      'The outline crosses itself at 50.010000, 10.010000 (latitude, longitude); move a corner there.',
    );
  });

  it('that cross each other, or have too few corners, are refused', () => {
    expect(drawnFault([square(10, 50, 0.01), square(10.005, 50.005, 0.01)])?.text).toMatch(/Two rings cross/);
    expect(drawnFault([square(10, 50, 0.01).slice(0, 2)])?.text).toMatch(/three corners/);
  });

  it('have the area of the ellipsoid, islands taken off, ground on an island put back', () => {
    // A cell of 0.01° at 50° N: M(50.005°)·N(50.005°)·cos φ·Δφ·Δλ, radii of curvature of WGS84 [NIMA TR8350.2], 1e-6.
    const phi = (50.005 * Math.PI) / 180;
    const w2 = 1 - 0.00669437999014 * Math.sin(phi) ** 2;
    const step = (0.01 * Math.PI) / 180;
    const cell_m2 =
      (6378137 / Math.sqrt(w2)) *
      ((6378137 * (1 - 0.00669437999014)) / w2 ** 1.5) *
      Math.cos(phi) *
      step ** 2;
    const outer = square(10, 50, 0.01);
    expect(drawnArea_m2([outer]) / cell_m2).toBeCloseTo(1, 5);
    const island = square(10.002, 50.002, 0.005);
    const rock = square(10.004, 50.004, 0.001);
    const with_island = drawnArea_m2([outer, island]);
    expect(with_island).toBeCloseTo(drawnArea_m2([outer]) - drawnArea_m2([island]), 3);
    expect(drawnArea_m2([outer, island, rock])).toBeCloseTo(with_island + drawnArea_m2([rock]), 3);
  });

  it('become GeoJSON that is read back without a repair, whatever their order and direction', () => {
    const rings = [
      square(10, 50, 0.01),
      square(10.002, 50.002, 0.005),
      square(10.02, 50, 0.01),
      square(10.004, 50.004, 0.001),
    ];
    fc.assert(
      fc.property(
        fc.shuffledSubarray(rings, { minLength: 4 }),
        fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
        (order, turns) => {
          const drawn = order.map((ring, i) => (turns[i] ? [...ring].reverse() : ring));
          const read = readBoundary(drawnBoundaryText(drawn, 'Home'), 'home.geojson');
          if (!read.ok) throw new Error(read.error.text);
          expect(read.notices).toEqual([]);
          const shapes = read.value.polygons.map((polygon) => polygon.length).sort();
          expect(shapes).toEqual([1, 1, 2]);
        },
      ),
    );
  });
});
