import { describe, expect, it } from 'vitest';
import { type EdgeOverlaps, estimateOverlaps } from '../../../core/track/edge-overlap.ts';
import { Random } from '../../synthetic/random.ts';
import { drift } from './drift.ts';

/** Edges of passes, 100 items a second apart each, overlaps by `of(edge, item)`. */
function edges(count: number, se_m: number, of: (edge: number, item: number) => number): EdgeOverlaps {
  const n = 100 * count;
  const column = (f: (k: number) => number) => Float64Array.from({ length: n }, (_, k) => f(k));
  return {
    run: Int32Array.from({ length: n }, (_, k) => Math.floor(k / 100)),
    t_s: column((k) => k),
    overlap_m: column((k) => of(Math.floor(k / 100), k % 100)),
    way_m: column(() => 2),
    position_se_m: column(() => se_m),
  };
}

const mean = (column: ArrayLike<number>) => Array.from(column).reduce((sum, x) => sum + x, 0) / column.length;
const rms = (column: Float64Array) => Math.sqrt(mean(column.map((x) => x * x)));

describe('estimateOverlaps', () => {
  it('one constant overlap stays as it is', () => {
    for (const overlap of [0, 0.2]) {
      for (const x of estimateOverlaps(edges(10, 0.02, () => overlap))) expect(x).toBeCloseTo(overlap, 9);
    }
  });

  it.each([0, 0.1, 0.4])(
    'errors of 0.25 m about a true overlap of %f m: no bias, and far less noise',
    (truth) => {
      const noise = new Random(8, 'track');
      const walks = Array.from({ length: 40 }, () => drift(noise, 0.25, 120, 1));
      const items = edges(40, 0.18, (edge) => truth + walks[edge]() + 0.05 * noise.normal());
      const estimate = estimateOverlaps(items);
      for (const x of estimate) expect(x).toBeGreaterThanOrEqual(0);
      expect(mean(estimate)).toBeCloseTo(Math.max(0, mean(items.overlap_m)), 6);
      expect(rms(estimate.map((x) => x - truth))).toBeLessThan(0.12);
    },
  );

  it('with a good receiver, true differences along the way are kept', () => {
    const truth = (edge: number, item: number) => 0.2 + 0.1 * Math.sin(edge + item / 8);
    const noise = new Random(9, 'track');
    const items = edges(20, 0.02, (edge, item) => truth(edge, item) + 0.02 * noise.normal());
    const estimate = estimateOverlaps(items);
    expect(rms(estimate.map((x, k) => x - truth(Math.floor(k / 100), k % 100)))).toBeLessThan(0.02);
  });

  it('one pass that truly overlaps by more than errors explain keeps its overlap', () => {
    const noise = new Random(10, 'track');
    const items = edges(20, 0.1, (edge) => (edge === 7 ? 0.9 : 0.1) + 0.1 * noise.normal());
    const estimate = estimateOverlaps(items);
    expect(mean(estimate.slice(700, 800))).toBeGreaterThan(0.85);
  });

  it('a gap too wide to be an error is no overlap of anything', () => {
    const items = edges(20, 0.02, (edge) => (edge === 3 ? -0.3 : 0.1));
    const estimate = estimateOverlaps(items);
    expect(mean(estimate.slice(300, 400))).toBe(0);
    expect(mean(estimate.slice(0, 300))).toBeCloseTo(0.1, 6);
  });

  it('no items, and gaps alone, give no overlap', () => {
    expect(estimateOverlaps(edges(0, 0.1, () => 0)).length).toBe(0);
    for (const x of estimateOverlaps(edges(4, 0.1, () => -0.05))) expect(x).toBe(0);
  });
});
