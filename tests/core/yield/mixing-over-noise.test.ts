import { describe, expect, it } from 'vitest';
import { mixingOverNoise, WORTH_RATIO } from '../../../core/yield/mixing-over-noise.ts';
import { unsmearHelps, unsmearNotices } from '../../../core/yield/unsmear-plot.ts';
import { Random } from '../../synthetic/random.ts';

/** Passes of 200 s, a row a second; grain a square metre as told, with noise. */
function rows(of: (t_s: number) => number, noise: number, row_s = 1) {
  const random = new Random(2, 'mixing over noise');
  const t0_s = Float64Array.from({ length: 2000 }, (_, i) => i * row_s);
  return {
    t0_s,
    t1_s: t0_s.map((t) => t + row_s),
    pass: Int32Array.from(t0_s, (_, i) => Math.floor(i / 200)),
    fresh_area_m2: t0_s.map(() => 18),
    amount: t0_s.map((t) => 18 * (of(t) + noise * random.normal())),
  };
}

describe('mixing over noise', () => {
  it('is what a bend of the yields makes of the error, over the scatter', () => {
    // y = sin(t/10): second difference over 4 s is 4 sin²(0.2) · y = 0.158 y, the median of |y| is 1/√2
    const ratio = mixingOverNoise(
      rows((t_s) => Math.sin(t_s / 10), 0.002),
      4,
    );
    const bend = (1.4826 * 4 * Math.sin(0.2) ** 2 * Math.SQRT1_2) / 2;
    // neighbouring rows bend as well: 4 sin²(0.05) = 0.01 of the wave
    const noise = (1.4826 * 4 * Math.sin(0.05) ** 2 * Math.SQRT1_2) / Math.sqrt(6);
    expect(ratio).toBeGreaterThan((0.8 * 1.3 * bend) / Math.hypot(noise, 0.002));
    expect(ratio).toBeLessThan((1.2 * 1.3 * bend) / Math.hypot(noise, 0.002));
  });

  it('is small where there is nothing but noise', () => {
    expect(
      mixingOverNoise(
        rows(() => 1, 0.05),
        4,
      ),
    ).toBeLessThan(0.8);
  });

  it('cannot be told without a mixing, from rows as long as it, or from few', () => {
    const wave = (t_s: number) => Math.sin(t_s / 10);
    expect(mixingOverNoise(rows(wave, 0.01), 0)).toBeNaN();
    expect(mixingOverNoise(rows(wave, 0.01, 3), 3)).toBeNaN();
    const alone = { ...rows(wave, 0.01), pass: Int32Array.from({ length: 2000 }, (_, i) => i) };
    expect(mixingOverNoise(alone, 4)).toBeNaN();
  });
});

describe('what is said of unsmearing', () => {
  it('is a word where it was asked for and helps little', () => {
    const plot = { where: 'Home, c1', noise_gain: 3, mixing_over_noise: 0.8 };
    const [notice] = unsmearNotices([plot]);
    expect(notice.code).toBe('unsmearing_helps_little');
    expect(notice.text).toContain('0.8 times');
    expect(unsmearNotices([{ ...plot, noise_gain: 1 }])).toEqual([]);
    expect(unsmearNotices([{ ...plot, mixing_over_noise: 4 }])).toEqual([]);
    expect(unsmearNotices([{ ...plot, mixing_over_noise: Number.NaN }])).toEqual([]);
    expect([0.1, WORTH_RATIO, Number.NaN].map(unsmearHelps)).toEqual([false, true, null]);
  });
});
