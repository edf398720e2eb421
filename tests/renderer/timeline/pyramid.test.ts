import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pyramidOf, pyramidSteps } from '../../../renderer/timeline/pyramid.ts';

describe('pyramid', () => {
  it('says of any stretch what looking at every number says', () => {
    const columns = fc.array(fc.oneof(fc.integer({ min: -1000, max: 1000 }), fc.constant(Number.NaN)), {
      maxLength: 1200,
    });
    const ends = fc.integer({ min: -5, max: 1210 });
    fc.assert(
      fc.property(columns, ends, ends, (given, a, b) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        const numbers = given
          .slice(Math.max(from, 0), Math.max(to, 0))
          .filter((number) => !Number.isNaN(number));
        const { least, greatest, mean, count } = pyramidOf(Float64Array.from(given)).over(from, to);
        expect(count).toBe(numbers.length);
        expect(least).toBe(Math.min(...numbers));
        expect(greatest).toBe(Math.max(...numbers));
        if (count === 0) expect(mean).toBeNaN();
        else expect(mean).toBeCloseTo(numbers.reduce((x, y) => x + y, 0) / count, 9);
      }),
    );
  });

  it('of two million numbers is built in short steps and asked in no time', () => {
    const numbers = Float64Array.from({ length: 2_000_000 }, (_, i) => i % 1000);
    let steps = 0;
    const building = pyramidSteps(numbers);
    let step = building.next();
    for (; !step.done; step = building.next()) steps++;
    expect(steps).toBeGreaterThanOrEqual(7);
    const pyramid = step.value;
    for (let x = 0; x < 2000; x++) {
      const { least, greatest, count } = pyramid.over(x * 1000, (x + 1) * 1000);
      expect([least, greatest, count]).toEqual([0, 999, 1000]);
    }
    expect(pyramid.over(0, 2_000_000).mean).toBe(499.5);
  });

  it('may be empty', () => {
    expect(pyramidOf(new Float64Array(0)).over(0, 10).count).toBe(0);
  });
});
