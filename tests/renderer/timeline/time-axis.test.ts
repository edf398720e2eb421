import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  axisTicks,
  clockText,
  dayOf,
  placeOfTime,
  timeAtPlace,
  timeAxis,
} from '../../../renderer/timeline/time-axis.ts';

const HOUR = 3600;
/** Two mornings of an hour, a night between; rows every 10 s. */
const mornings = Float64Array.from({ length: 722 }, (_, i) =>
  i < 361 ? 10 * i : 24 * HOUR + 10 * (i - 361),
);

describe('axis of working time', () => {
  it('lays spells of work end to end and makes the night a narrow break', () => {
    const axis = timeAxis([mornings]);
    expect(axis.spells.map(({ start_s, end_s }) => [start_s, end_s])).toEqual([
      [0, HOUR],
      [24 * HOUR, 25 * HOUR],
    ]);
    expect(axis.length).toBeGreaterThan(2 * HOUR);
    expect(axis.length).toBeLessThan(2.02 * HOUR);
  });

  it('joins machines that work at the same time', () => {
    const other = mornings.map((t_s) => t_s + 600);
    expect(timeAxis([mornings, other]).spells.map(({ end_s }) => end_s)).toEqual([
      HOUR + 600,
      25 * HOUR + 600,
    ]);
  });

  it('goes from time to place and back, and never backwards', () => {
    const axis = timeAxis([mornings]);
    const moments = fc.double({ min: -500, max: 26 * HOUR, noNaN: true });
    fc.assert(
      fc.property(moments, moments, (a, b) => {
        expect(timeAtPlace(axis, placeOfTime(axis, a))).toBeCloseTo(a, 3);
        if (a <= b) expect(placeOfTime(axis, a)).toBeLessThanOrEqual(placeOfTime(axis, b) + 1e-9);
      }),
    );
  });

  it('of nothing is a line without time', () => {
    const axis = timeAxis([]);
    expect([axis.length, placeOfTime(axis, 5), timeAtPlace(axis, 5)]).toEqual([1, 0, 0]);
    expect(axisTicks(axis, 0, { u0: 0, u1: 1, least_u: 0.1 })).toEqual([]);
  });
});

describe('ticks', () => {
  // 2026-10-03T14:00:00Z
  const epoch = Date.UTC(2026, 9, 3, 14) / 1000;

  it('name the day where it begins, and round times after it', () => {
    const axis = timeAxis([mornings]);
    const ticks = axisTicks(axis, epoch, { u0: 0, u1: axis.length, least_u: 600 });
    expect(ticks.map(({ text }) => text)).toEqual([
      '3 Oct',
      '14:10',
      '14:20',
      '14:30',
      '14:40',
      '14:50',
      '4 Oct',
      '14:10',
      '14:20',
      '14:30',
      '14:40',
      '14:50',
      '15:00',
    ]);
  });

  it('are never nearer than asked, however far one zooms', () => {
    const axis = timeAxis([mornings]);
    for (const [u0, u1] of [
      [0, 60],
      [100, 1700],
      [3000, 4200],
      [0, axis.length],
    ]) {
      const least_u = (u1 - u0) / 14;
      const ticks = axisTicks(axis, epoch, { u0, u1, least_u });
      expect(ticks.length).toBeGreaterThan(1);
      for (let i = 1; i < ticks.length; i++)
        expect(ticks[i].u - ticks[i - 1].u).toBeGreaterThanOrEqual(0.8 * least_u - 1e-6);
    }
  });

  it('write seconds only where they are needed', () => {
    expect(clockText(epoch + 61, 30)).toBe('14:01:01');
    expect(clockText(epoch + 61, 60)).toBe('14:01');
    expect(dayOf(epoch)).toBe('3 Oct');
  });
});
