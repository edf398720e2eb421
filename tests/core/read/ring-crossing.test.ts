import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ringCrossing } from '../../../core/read/ring-crossing.ts';

const ring = (...corners: (readonly [number, number])[]) =>
  Float64Array.from([...corners, corners[0]].flat());

describe('an outline that crosses itself', () => {
  it('is found when two corners are exchanged', () => {
    expect(ringCrossing(ring([0, 0], [1, 0], [1, 1], [0, 1]))).toBeUndefined();
    expect(ringCrossing(ring([0, 0], [1, 1], [1, 0], [0, 1]))).toBeDefined();
  });

  it('may touch itself: a notch down to the edge, a corner visited twice', () => {
    expect(ringCrossing(ring([0, 0], [4, 0], [4, 2], [2, 0], [0, 2]))).toBeUndefined();
    expect(ringCrossing(ring([0, 0], [1, 1], [2, 0], [2, 2], [1, 1], [0, 2]))).toBeUndefined();
  });

  it('is never one of a star around a point, and always one of such a star with two far corners exchanged', () => {
    const radii = fc.array(fc.double({ min: 0.5, max: 2, noNaN: true }), { minLength: 8, maxLength: 40 });
    fc.assert(
      fc.property(radii, (r) => {
        const corners = r.map((radius, i): [number, number] => {
          const angle_rad = (2 * Math.PI * i) / r.length;
          return [radius * Math.cos(angle_rad), radius * Math.sin(angle_rad)];
        });
        const half = Math.floor(corners.length / 2);
        const exchanged = [...corners];
        [exchanged[0], exchanged[half]] = [exchanged[half], exchanged[0]];
        return ringCrossing(ring(...corners)) === undefined && ringCrossing(ring(...exchanged)) !== undefined;
      }),
    );
  });
});
