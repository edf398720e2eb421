import { describe, expect, it } from 'vitest';
import { outlineLength_km } from '../../../core/read/outline-length.ts';

describe('outlineLength_km', () => {
  it('a degree square on the equator is 4 × 111.2 km', () => {
    const ring = Float64Array.of(10, 0, 11, 0, 11, 1, 10, 1, 10, 0);
    expect(outlineLength_km([ring])).toBeCloseTo(4 * 111.2, 0);
  });

  it('edges over the 180° meridian go the short way', () => {
    const ring = Float64Array.of(179.99, 0, -179.99, 0, -179.99, 0.02, 179.99, 0.02, 179.99, 0);
    expect(outlineLength_km([ring])).toBeCloseTo(8 * 1.112, 1);
  });

  it('is the sum over rings, and 0 of none', () => {
    const ring = Float64Array.of(0, 0, 0, 1, 0, 0);
    expect(outlineLength_km([ring, ring])).toBeCloseTo(4 * 111.2, 6);
    expect(outlineLength_km([])).toBe(0);
  });
});
