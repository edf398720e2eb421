import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  GeographicBox,
  type PolygonRings,
  polygonParts,
} from '../../../../core/export/layers/antimeridian.ts';

const ring = (...positions: readonly number[]) => Float64Array.from(positions);
const lists = (parts: readonly PolygonRings[]) => parts.map((part) => part.map((one) => [...one]));

/** Signed, in square degrees about the first corner. */
function area(one: Float64Array): number {
  let sum = 0;
  for (let at = 0; at + 3 < one.length; at += 2)
    sum += (one[at] - one[0]) * (one[at + 3] - one[1]) - (one[at + 2] - one[0]) * (one[at + 1] - one[1]);
  return sum / 2;
}
const total = (parts: readonly PolygonRings[]) => parts.flat().reduce((sum, one) => sum + area(one), 0);

describe('polygons across the 180° meridian', () => {
  it('cuts in two as the example of RFC 7946 §3.1.9', () => {
    // the printed MultiPolygon: [[[180,40],[180,50],[170,50],[170,40],[180,40]]], [[[-170,40],[-170,50],[-180,50],[-180,40],[-170,40]]]
    const parts = polygonParts([ring(170, 40, -170, 40, -170, 50, 170, 50, 170, 40)]);
    expect(lists(parts)).toEqual([
      [[180, 50, 170, 50, 170, 40, 180, 40, 180, 50]],
      [[-180, 40, -170, 40, -170, 50, -180, 50, -180, 40]],
    ]);
  });

  it('leaves what stays on its side, and what only touches the meridian, in one part', () => {
    const home = [ring(-96, 41, -95, 41, -95, 42, -96, 41)];
    expect(polygonParts(home)).toEqual([home]);
    expect(polygonParts([])).toEqual([]);
    const touching = polygonParts([ring(179, 0, -180, 0, -180, 1, 179, 1, 179, 0)]);
    expect(lists(touching)).toEqual([[[179, 0, 180, 0, 180, 1, 179, 1, 179, 0]]]);
  });

  it('a comb that crosses often comes apart into its teeth; holes go where they lie or into the cut', () => {
    const comb = ring(179, 0, -179, 0, -179, 1, 179.5, 1, 179.5, 2, -179, 2, -179, 3, 179, 3, 179, 0);
    const parts = polygonParts([comb]);
    expect(parts.map((part) => part[0].length)).toEqual([18, 10, 10]);
    expect(total(parts)).toBeCloseTo(6 - 1.5, 12);
    const pierced = [
      ring(170, 0, -170, 0, -170, 10, 170, 10, 170, 0),
      ring(171, 1, 171, 2, 172, 2, 172, 1, 171, 1),
      ring(-172, 1, -172, 2, -171, 2, -171, 1, -172, 1),
      ring(179, 5, 179, 6, -179, 6, -179, 5, 179, 5),
    ];
    const cut = polygonParts(pierced);
    expect(cut.map((part) => part.length)).toEqual([2, 2]);
    expect(total(cut)).toBeCloseTo(200 - 1 - 1 - 2, 12);
    expect(cut.every((part) => area(part[0]) > 0 && area(part[1]) < 0)).toBe(true);
  });

  it('keeps the area of any star around a place on the meridian, and every part on its side', () => {
    const radii = fc.array(fc.double({ min: 0.1, max: 1, noNaN: true }), { minLength: 3, maxLength: 12 });
    fc.assert(
      fc.property(radii, fc.double({ min: -0.9, max: 0.9, noNaN: true }), (lengths, off) => {
        const flat = lengths.flatMap((length, k) => {
          const angle = (2 * Math.PI * k) / lengths.length;
          return [off + length * Math.cos(angle), length * Math.sin(angle)];
        });
        const plane = ring(...flat, flat[0], flat[1]);
        const globe = plane.map((x, at) => (at % 2 === 1 ? x : x < 0 ? 180 + x : x - 180));
        const parts = polygonParts([globe]);
        expect(total(parts)).toBeCloseTo(area(plane), 9);
        for (const [outer] of parts) {
          const longitudes = outer.filter((_, at) => at % 2 === 0);
          expect(Math.max(...longitudes) - Math.min(...longitudes)).toBeLessThanOrEqual(2);
          expect([outer[0], outer[1]]).toEqual([outer.at(-2), outer.at(-1)]);
        }
      }),
      { seed: 180, numRuns: 200 },
    );
  });
});

describe('the box around positions', () => {
  it('has west > east across the meridian, as the Fiji example of RFC 7946 §5.2', () => {
    const box = new GeographicBox();
    expect(box.bounds).toBeUndefined();
    box.add(177, -20);
    box.add(-178, -16);
    box.add(Number.NaN, 3);
    expect(box.bounds).toEqual([177, -20, -178, -16]);
  });
});
