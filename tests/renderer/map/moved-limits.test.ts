import { describe, expect, it } from 'vitest';
import { breaksOf } from '../../../renderer/map/breaks.ts';
import { limitMoved } from '../../../renderer/map/moved-limits.ts';

const ROOM = { low: 0, high: 100, step: 0.1 };

describe('a limit of classes that is moved', () => {
  it('is rounded as it is shown, and the others stay', () => {
    expect(limitMoved([20, 40, 60], 1, 45.2345, ROOM)).toEqual([20, expect.closeTo(45.2, 9), 60]);
  });

  it('does not reach its neighbours or leave the picture', () => {
    expect(limitMoved([20, 40, 60], 1, 70, ROOM)[1]).toBeCloseTo(59.9, 9);
    expect(limitMoved([20, 40, 60], 1, 3, ROOM)[1]).toBeCloseTo(20.1, 9);
    expect(limitMoved([20, 40, 60], 0, -5, ROOM)[0]).toBe(0);
    expect(limitMoved([20, 40, 60], 2, 500, ROOM)[2]).toBe(100);
  });

  it('stays where its neighbours leave no room', () => {
    expect(limitMoved([40, 40.05, 40.1], 1, 50, ROOM)).toEqual([40, 40.05, 40.1]);
  });
});

describe('classes with limits from elsewhere', () => {
  it('are drawn with these limits, all of them in the picture', () => {
    const column = Float64Array.from({ length: 1001 }, (_, i) => i / 10);
    const breaks = breaksOf(column, { method: 'given', limits_si: [30, 120] });
    expect(breaks).toMatchObject({ method: 'given', limits: [30, 120], high: 120 });
    expect(breaks.low).toBeCloseTo(2, 6);
  });
});
