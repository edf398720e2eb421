import { describe, expect, it } from 'vitest';
import { clockFromAnchor, estimateClock, timeFromTick } from '../../../core/signal/clock.ts';

const START_UTC_S = 1_790_000_000;

/** Fixes at 1 Hz seen by a counter with drift and one-sided serial delay (a fixed sawtooth, never below 30 ms). */
function pairs(count: number, drift: number, leapAt = -1, leap_s = 0) {
  const tick_us = new Float64Array(count);
  const utc_s = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const true_s = i;
    const delay_s = 0.03 + 0.17 * (((i * 7919) % 101) / 101);
    tick_us[i] = 5e9 + ((true_s + delay_s) / (1 + drift)) * 1e6;
    utc_s[i] = START_UTC_S + true_s + (leapAt >= 0 && i >= leapAt ? leap_s : 0);
  }
  return { tick_us, utc_s };
}

function solved(tick_us: Float64Array, utc_s: Float64Array) {
  const result = estimateClock(tick_us, utc_s, 'a.log');
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

describe('clock of the logger', () => {
  it('finds drift and the earliest arrivals under one-sided delay', () => {
    const { tick_us, utc_s } = pairs(7200, 40e-6);
    const clock = solved(tick_us, utc_s);
    expect(clock.drift_ppm).toBeCloseTo(40, 0);
    const t_s = timeFromTick(clock, Float64Array.of(5e9 + 3600e6 / (1 + 40e-6)), START_UTC_S);
    // counter reading at true second 3600; the constant 30 ms of delay cannot be seen
    expect(t_s[0]).toBeCloseTo(3600 - 0.03, 3);
  });

  it('keeps a single wild time out and follows a real leap', () => {
    const { tick_us, utc_s } = pairs(1000, 0, 500, 5);
    utc_s[100] += 86400;
    const clock = solved(tick_us, utc_s);
    expect(clock.outliers).toBe(1);
    expect(clock.pieces).toHaveLength(2);
    const t_s = timeFromTick(clock, Float64Array.of(5e9 + 499e6, 5e9 + 700e6), START_UTC_S);
    expect(t_s[0]).toBeCloseTo(499, 1);
    expect(t_s[1]).toBeCloseTo(705, 1);
  });

  it('lays what came just after a restart with what follows, even when the restart looks like a wrap', () => {
    // 50 minutes after it was switched on the logger starts anew; read as a wrap, its counter leaps ahead by 21.6 min
    const leap_us = 2 ** 32 - 3000e6;
    const { tick_us, utc_s } = pairs(6000, 0);
    for (let i = 3003; i < 6000; i++) tick_us[i] += leap_us - 2e6;
    const kept = [...tick_us.keys()].filter((i) => i < 3000 || i >= 3003);
    const pick = (column: Float64Array) => Float64Array.from(kept, (i) => column[i]);
    const clock = solved(pick(tick_us), pick(utc_s));
    expect(clock.pieces).toHaveLength(2);
    const restart_us = 5e9 + 3001e6 + leap_us;
    const t_s = timeFromTick(clock, Float64Array.of(5e9 + 2999.5e6, restart_us), START_UTC_S);
    expect(t_s[0]).toBeCloseTo(2999.5, 1);
    expect(t_s[1]).toBeCloseTo(3003, 1);
  });

  it('takes a short stretch as free of drift', () => {
    const { tick_us, utc_s } = pairs(60, 200e-6);
    expect(solved(tick_us, utc_s).drift_ppm).toBe(0);
  });

  it('follows a logger without a crystal and says that it wants a look', () => {
    const { tick_us, utc_s } = pairs(3600, 3e-3);
    const result = estimateClock(tick_us, utc_s, 'a.log');
    expect(result.ok && result.value.drift_ppm).toBeCloseTo(3000, -1);
    expect(result.notices.map(({ code }) => code)).toEqual(['clock_drift']);
  });

  it('takes rows without counter or time for none, and one pair for enough', () => {
    const lone = solved(Float64Array.of(Number.NaN, 2e6, 3e6), Float64Array.of(5, START_UTC_S, Number.NaN));
    expect(lone).toMatchObject({ pairs: 1, outliers: 0, drift_ppm: 0 });
    expect([...timeFromTick(lone, Float64Array.of(1e6, Number.NaN), START_UTC_S)]).toEqual([-1, Number.NaN]);
  });

  it('has no answer without a date and time', () => {
    const result = estimateClock(Float64Array.of(1, 2), Float64Array.of(Number.NaN, Number.NaN), 'a.log');
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.error.text).toContain('a.log');
  });

  it('runs from an anchor', () => {
    const t_s = timeFromTick(clockFromAnchor(0, START_UTC_S), Float64Array.of(2.5e6), START_UTC_S);
    expect(t_s[0]).toBeCloseTo(2.5, 9);
  });
});
