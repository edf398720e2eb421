import { describe, expect, it } from 'vitest';
import { amountPerStep, areaPerStep, type CutRecord, cumulativeGrain } from '../../../core/lag/cut-record.ts';
import type { GrainPassage } from '../../../core/signal/grain-passage.ts';

const passage = (t_s: number[], cumulative: number[]): GrainPassage => ({
  t_s: Float64Array.from(t_s),
  cumulative: Float64Array.from(cumulative),
  basis: 'mass',
});
const record = (rows: readonly [t0: number, t1: number, area: number][]) =>
  ({
    t0_s: Float64Array.from(rows, ([t0]) => t0),
    t1_s: Float64Array.from(rows, ([, t1]) => t1),
    fresh_area_m2: Float64Array.from(rows, ([, , area]) => area),
  }) as CutRecord;

describe('grain on a uniform grid', () => {
  it('is the rise of the passage in each step', () => {
    const { samples, t0_s, step_s } = amountPerStep(passage([0, 2, 3], [0, 4, 5]), 0, 1, 4);
    expect([...samples]).toEqual([2, 2, 1, 0]);
    expect([t0_s, step_s]).toEqual([0, 1]);
    expect([...cumulativeGrain(passage([0, 2, 3], [0, 4, 5]), 0.5, 1, 4).samples]).toEqual([1, 3, 4.5, 5]);
  });

  it('is nothing before and after the record, and without one', () => {
    expect([...amountPerStep(passage([10, 11], [0, 3]), 8, 1, 5).samples]).toEqual([0, 0, 3, 0, 0]);
    expect([...amountPerStep(passage([], []), 0, 1, 3).samples]).toEqual([0, 0, 0]);
    expect([...amountPerStep(passage([5], [7]), 0, 1, 0).samples]).toEqual([]);
  });

  it('loses nothing between steps of any length', () => {
    const knots = Array.from({ length: 50 }, (_, i) => i * 1.37);
    const total = knots.map((_, i) => i * i);
    const { samples } = amountPerStep(passage(knots, total), -3, 0.31, 260);
    expect(samples.reduce((a, b) => a + b, 0)).toBeCloseTo(49 * 49, 9);
  });
});

describe('ground on a uniform grid', () => {
  it('spreads each interval evenly and nothing over a gap', () => {
    expect([
      ...areaPerStep(
        record([
          [0, 2, 6],
          [2, 3, 1],
          [5, 6, 4],
        ]),
        0,
        1,
        7,
      ).samples,
    ]).toEqual([3, 3, 1, 0, 0, 4, 0]);
  });

  it('takes intervals of no length and an empty record', () => {
    expect([
      ...areaPerStep(
        record([
          [0, 1, 2],
          [1, 1, 0],
          [1, 2, 3],
        ]),
        0,
        1,
        3,
      ).samples,
    ]).toEqual([2, 3, 0]);
    expect([...areaPerStep(record([]), 0, 1, 2).samples]).toEqual([0, 0]);
  });
});
