import { describe, expect, it } from 'vitest';
import { crossCorrelation } from '../../../core/stats/cross-correlation.ts';

describe('cross-correlation', () => {
  it('is the sum of products at each shift, worked by hand', () => {
    // a = 1, 2, 3 against b = 4, 5: shifts −2 (3·4), −1 (2·4 + 3·5), 0 (1·4 + 2·5), 1 (1·5)
    const found = crossCorrelation(Float64Array.of(1, 2, 3), Float64Array.of(4, 5));
    expect(found).toHaveLength(4);
    [12, 23, 14, 5].forEach((product, k) => {
      expect(found[k]).toBeCloseTo(product, 9);
    });
  });

  it('equals plain sums on columns of awkward lengths', () => {
    const a = Float64Array.from({ length: 37 }, (_, i) => ((i * 31) % 17) - 8);
    const b = Float64Array.from({ length: 101 }, (_, i) => ((i * 13) % 29) / 7);
    crossCorrelation(a, b).forEach((product, k) => {
      const shift = k - (a.length - 1);
      const plain = a.reduce((sum, x, i) => sum + x * (b[i + shift] ?? 0), 0);
      expect(product).toBeCloseTo(plain, 9);
    });
  });

  it('of single elements is their product, and of nothing nothing', () => {
    expect(crossCorrelation(Float64Array.of(3), Float64Array.of(-2))[0]).toBeCloseTo(-6, 12);
    expect(crossCorrelation(new Float64Array(), Float64Array.of(1))).toHaveLength(0);
  });
});
