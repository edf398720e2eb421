import { describe, expect, it } from 'vitest';
import { globalMoran, localMoran, nearestNeighbours } from '../../../core/stats/moran.ts';
import { normalTwoSidedTail } from '../../../core/stats/normal.ts';

describe("Moran's index", () => {
  // four places on a line, two neighbours each
  const east_m = Float64Array.of(0, 1, 2.1, 3.3);
  const neighbours = nearestNeighbours(east_m, new Float64Array(4), 2);

  it('is what its formula says', () => {
    expect([...neighbours.rows]).toEqual([1, 2, 0, 2, 1, 3, 2, 1]);
    // z − mean: −3, −1, 1, 3; m₂ = 5; lags 0, −1, 1, 0
    const column = Float64Array.of(1, 3, 5, 7);
    const { index, lag } = localMoran(column, neighbours);
    [0, 0.2, 0.2, 0].forEach((wanted, i) => {
      expect(index[i]).toBeCloseTo(wanted, 14);
    });
    expect([...lag]).toEqual([4, 3, 5, 4]);
    const all = globalMoran(column, neighbours);
    expect(all.index).toBeCloseTo(0.1, 14);
    expect(all.expected).toBeCloseTo(-1 / 3, 14);
  });

  it('knows nothing where nothing differs, and refuses what is no neighbourhood', () => {
    expect(localMoran(Float64Array.of(2, 2, 2, 2), neighbours).index.every(Number.isNaN)).toBe(true);
    expect(() => localMoran(new Float64Array(5), neighbours)).toThrow('5 numbers have 8 neighbours');
    expect(() => nearestNeighbours(east_m, new Float64Array(4), 4)).toThrow('no 4 neighbours');
    const lost = Float64Array.of(0, 1, 2, Number.NaN);
    expect(() => nearestNeighbours(lost, new Float64Array(4), 3)).toThrow('place 0 has 2 neighbours');
  });
});

describe('the tail of the normal distribution', () => {
  it('has the tabulated probabilities', () => {
    // [AbramowitzStegun1964 tables 26.1, 26.2], two sides
    for (const [z, tail] of [
      [0, 1],
      [1, 0.31731050786],
      [1.959963984540054, 0.05],
      [2.5, 0.01241933065],
      [-3, 0.0026997960633],
      [5, 5.7330314375e-7],
    ])
      expect(normalTwoSidedTail(z) / tail).toBeCloseTo(1, 9);
  });

  it('does not leap where the ways of computing it meet', () => {
    expect(normalTwoSidedTail(2.5 - 1e-12) / normalTwoSidedTail(2.5)).toBeCloseTo(1, 11);
  });
});
