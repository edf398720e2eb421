import { describe, expect, it } from 'vitest';
import { rowsInTime, withoutWildTimes } from '../../../core/signal/row-order.ts';

const NAN = Number.NaN;
const order = (...parts: number[][]) => [...rowsInTime(parts.map((part) => Float64Array.from(part)))];

describe('rows of several logs in time', () => {
  it('lays a log into the pause of another', () => {
    // one field on the first and third day, another one on the second
    expect(order([0, 1, 9000, 9001], [5000, 5001])).toEqual([0, 1, 4, 5, 2, 3]);
  });

  it('leaves the order within a stretch alone, backward steps and unknown times included', () => {
    expect(order([10, 11, 9, NAN, 12], [1, 2])).toEqual([5, 6, 0, 1, 2, 3, 4]);
  });

  it('judges a stretch that begins without time by its first known one', () => {
    expect(order([NAN, 700, 701], [0, 1], [])).toEqual([3, 4, 0, 1, 2]);
    expect(order([NAN, NAN], [5])).toEqual([2, 0, 1]);
    expect(order()).toEqual([]);
  });
});

describe('wild times', () => {
  const believed = (...t_s: number[]) => [...withoutWildTimes(Float64Array.from(t_s))];

  it('are those that leap ahead and come back', () => {
    expect(believed(0, 1, 9e8, 3, 4, 5)).toEqual([0, 1, NAN, 3, 4, 5]);
    expect(believed(0, 5000, 5001, 3, 4, 5, 6, 7, 8)).toEqual([0, NAN, NAN, 3, 4, 5, 6, 7, 8]);
    expect(believed(0, 1, 2, 5000)).toEqual([0, 1, 2, 5000]);
  });

  it('are not the small steps of a receiver, nor a pause', () => {
    expect(believed(0, 1, 2, 0.5, 1.5, 3600, 3601)).toEqual([0, 1, 2, 0.5, 1.5, 3600, 3601]);
  });
});
