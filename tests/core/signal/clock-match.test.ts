import { describe, expect, it } from 'vitest';
import { matchClock } from '../../../core/signal/clock-match.ts';
import { workOfFixes } from '../../../core/signal/work-pattern.ts';
import type { TimedFixes } from '../../../core/track/track.ts';
import { range, timedFixes } from './made-fixes.ts';

/** Lengths of passes differ, as they do in a field that is not a rectangle; turns take 15 s. */
function passesOfDay(day: number, count: number) {
  let start_s = 0;
  return range(count).map((p) => {
    const length_s = 60 + ((p * 7919 + day * 104_729 + p * p * 31 * (day + 3)) % 240);
    const pass = { start_s, end_s: start_s + length_s };
    start_s += length_s + 15;
    return pass;
  });
}

/** Drive at 2 m/s, straight in passes and with 12°/s in turns. */
function fixesOfDay(day: number, origin_s: number, count = 40): TimedFixes {
  const passes = passesOfDay(day, count);
  const t_s = range(Math.ceil(passes[count - 1].end_s));
  let course = 0;
  const course_deg = t_s.map((t) => {
    if (!passes.some(({ start_s, end_s }) => t >= start_s && t < end_s)) course += 12;
    return course % 360;
  });
  return timedFixes(
    t_s.map((t) => t + origin_s),
    { speed_m_s: t_s.map(() => 2), course_deg },
  );
}

/** Ten paddles a second on a counter of its own that begins `lead_s` before the day, 14 s after the crop was cut. */
function grainOfDay(day: number, lead_s: number, count = 40) {
  const passes = passesOfDay(day, count);
  const t_s = range(10 * Math.ceil(passes[count - 1].end_s)).map((i) => i / 10);
  return {
    t_s: Float64Array.from(t_s, (t) => t + lead_s),
    amount: Float64Array.from(t_s, (t) =>
      passes.some(({ start_s, end_s }) => t - 14 >= start_s && t - 14 < end_s) ? 1 : 0.02,
    ),
  };
}

function joined(days: readonly TimedFixes[]): TimedFixes {
  const all = (name: 't_s' | 'speed_m_s' | 'course_deg') => days.flatMap((day) => [...day[name]]);
  return timedFixes(all('t_s'), { speed_m_s: all('speed_m_s'), course_deg: all('course_deg') });
}

describe('clock by the pattern of work', () => {
  it('is found to a second', () => {
    const match = matchClock(grainOfDay(0, 1000), fixesOfDay(0, 5000));
    expect(Math.abs((match?.zero_s ?? 0) - 4000)).toBeLessThanOrEqual(1);
    expect(match?.agreement).toBeGreaterThan(0.9);
  });

  it('picks the right day out of a season of fixes', () => {
    const season = joined(range(12).map((day) => fixesOfDay(day, day * 86_400)));
    const match = matchClock(grainOfDay(7, 0), season);
    expect(Math.abs((match?.zero_s ?? 0) - 7 * 86_400)).toBeLessThanOrEqual(2);
    expect(match?.agreement).toBeGreaterThan(0.9);
  });

  it.each([0, 300, -300])('tells a drift of %d parts per million over a long day', (ppm) => {
    const grain = grainOfDay(0, 1000, 150);
    const slow = { ...grain, t_s: grain.t_s.map((t) => t / (1 + ppm * 1e-6)) };
    const match = matchClock(slow, fixesOfDay(0, 5000, 150));
    if (match === undefined) throw new Error('no match');
    expect(match.drift === 0).toBe(ppm === 0);
    for (const t of [grain.t_s[0], grain.t_s[grain.t_s.length - 1]]) {
      const laid_s = match.zero_s + (t / (1 + ppm * 1e-6)) * (1 + match.drift);
      expect(Math.abs(laid_s - (t + 4000))).toBeLessThan(1.6);
    }
    expect(match.end_se_s).toBeLessThan(1);
  });

  it('says that it cannot tell a drift in an hour', () => {
    const match = matchClock(grainOfDay(0, 1000, 20), fixesOfDay(0, 5000, 20));
    expect(match).toMatchObject({ drift: 0, end_se_s: Number.POSITIVE_INFINITY });
  });

  it('is refused for the fixes of other days', () => {
    const others = joined([1, 2, 3, 5, 6].map((day) => fixesOfDay(day, day * 86_400)));
    expect(matchClock(grainOfDay(4, 0), others)).toBeUndefined();
  });

  it('has no answer for next to nothing, or for a machine that stood', () => {
    const none = { t_s: new Float64Array(), amount: new Float64Array() };
    expect(matchClock(none, fixesOfDay(0, 0))).toBeUndefined();
    expect(matchClock(grainOfDay(0, 0), timedFixes([]))).toBeUndefined();
    const stood = timedFixes(range(3000), { speed_m_s: range(3000).map(() => 0) });
    expect(matchClock(grainOfDay(0, 0), stood)).toBeUndefined();
  });
});

describe('work by fixes', () => {
  it('is straight driving, not turning, standing or silence', () => {
    const course_deg = range(30).map((t) => (t < 10 ? 90 : t < 20 ? 90 + 12 * (t - 9) : 210));
    const speed_m_s = range(30).map((t) => (t >= 25 ? 0.1 : 2));
    const { amount } = workOfFixes(timedFixes(range(30), { course_deg, speed_m_s }));
    expect([...amount.subarray(1, 10)]).toEqual(new Array(9).fill(1));
    expect([...amount.subarray(11, 20)]).toEqual(new Array(9).fill(0));
    expect([...amount.subarray(22, 25)]).toEqual([1, 1, 1]);
    expect([...amount.subarray(25)]).toEqual(new Array(5).fill(0));
    expect([...workOfFixes(timedFixes([0, 1, 60, 61], { speed_m_s: [2, 2, 2, 2] })).amount]).toEqual([
      0, 1, 0, 1,
    ]);
  });

  it('goes round north without a turn, and leaves rows out whose time is unknown or past', () => {
    const fixes = timedFixes([Number.NaN, 0, 1, 0.5, 2], {
      speed_m_s: [2, 2, 2, 2, 2],
      course_deg: [9, 359, 1, 180, 0],
    });
    const { t_s, amount } = workOfFixes(fixes);
    expect([...t_s]).toEqual([0, 1, 2]);
    expect([...amount]).toEqual([0, 1, 1]);
  });
});
