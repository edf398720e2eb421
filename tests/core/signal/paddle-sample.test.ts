import { describe, expect, it } from 'vitest';
import { samplePaddles } from '../../../core/signal/paddle-sample.ts';

function paddles(count: number) {
  const t_s = Float64Array.from({ length: count }, (_, i) => i);
  return { t_s, period_s: t_s.map((t) => t / 2), dark_fraction: t_s.map((t) => -t), slots: t_s.map(() => 1) };
}

describe('a sample of paddles', () => {
  it('is all of them while they are few', () => {
    const few = paddles(500_000);
    expect(samplePaddles(few, 100, 5000)).toBe(few);
  });

  it('is, of many, stretches from the first to the last, rows kept together', () => {
    const many = paddles(1_300_001);
    const { t_s, period_s, dark_fraction, slots } = samplePaddles(many, 100, 5000);
    expect(t_s).toHaveLength(500_000);
    expect([t_s[0], t_s[4999], t_s[499_999]]).toEqual([0, 4999, 1_300_000]);
    let breaks = 0;
    for (let i = 1; i < t_s.length; i++) {
      if (t_s[i] !== t_s[i - 1] + 1) breaks++;
      if (
        t_s[i] <= t_s[i - 1] ||
        period_s[i] !== t_s[i] / 2 ||
        dark_fraction[i] !== -t_s[i] ||
        slots[i] !== 1
      )
        throw new Error(`row ${i} is out of line`);
    }
    expect(breaks).toBe(99);
  });
});
