/**
 * The first-order response that the lag stage reckons with, against the analytic values for τ = 3 s (FOPDT model
 * τ·dq/dt + q = q_in, fitted well to lab and field responses by Arslan 2008, Sensors 8(2):952–962; values recomputed from the
 * closed forms 1 − e^(−t/τ), 1/√(1 + (ωτ)²), atan ωτ): 63.2 % at 3.000 s, 95 % at 8.987 s, 99 % at 13.816 s, rise 10–90 % in
 * 6.592 s; amplitude of periods 10/20/40/60 s: 0.46865/0.72773/0.90459/0.95403; phase lag 62.05/43.30/25.23/17.44°.
 */
import { describe, expect, it } from 'vitest';
import type { CutRecord } from '../../core/lag/cut-record.ts';
import { responseMismatch } from '../../core/lag/response-mismatch.ts';

const MIXING_S = 3;
const STEP_S = 0.25;

/** What the beam shows at the middle of each step for ground cut at `rate(t)`. */
function response(rate: (t_s: number) => number, duration_s: number) {
  const n = duration_s / STEP_S;
  const t0_s = Float64Array.from({ length: n }, (_, i) => i * STEP_S);
  const record: CutRecord = {
    t0_s,
    t1_s: t0_s.map((t) => t + STEP_S),
    fresh_area_m2: t0_s.map((t) => rate(t + STEP_S / 2) * STEP_S),
    east_m: new Float64Array(n),
    north_m: t0_s,
    heading_rad: new Float64Array(n),
    width_share: new Float64Array(n).fill(1),
    header_width_m: 9,
  };
  const mismatch = responseMismatch(record, MIXING_S);
  // the stage looks one mean mixing later than the row, which is what the applied shift does
  return {
    t_s: t0_s.map((t) => t + STEP_S / 2 + MIXING_S),
    shown: mismatch.map((m, i) => (m + 1) * (record.fresh_area_m2[i] / STEP_S)),
  };
}

/** Time at which a rising column first reaches a level. */
function reaches({ t_s, shown }: { t_s: Float64Array; shown: Float64Array }, level: number): number {
  const i = shown.findIndex((y) => y >= level);
  return t_s[i - 1] + ((level - shown[i - 1]) / (shown[i] - shown[i - 1])) * STEP_S;
}

describe('step', () => {
  const START_S = 20;
  const step = response((t) => (t < START_S ? 1e-9 : 1), 80);

  it.each([
    [1 - Math.exp(-1), 3.0],
    [0.95, 8.987],
    [0.99, 13.816],
  ])('reaches %f after %f s', (level, after_s) => {
    expect(reaches(step, level) - START_S).toBeCloseTo(after_s, 1);
  });

  it('rises from 10 to 90 % in 6.592 s', () => {
    expect(reaches(step, 0.9) - reaches(step, 0.1)).toBeCloseTo(6.592, 1);
  });
});

describe('waves', () => {
  it.each([
    [10, 0.46865, 62.05],
    [20, 0.72773, 43.3],
    [40, 0.90459, 25.23],
    [60, 0.95403, 17.44],
  ])('of %i s come out at %f of their height, %f° late', (period_s, amplitude, late_deg) => {
    const omega = (2 * Math.PI) / period_s;
    const { t_s, shown } = response((t) => 1 + 0.5 * Math.sin(omega * t), 600);
    let sine = 0;
    let cosine = 0;
    let count = 0;
    for (let i = 0; i < t_s.length; i++) {
      if (t_s[i] < 120 || t_s[i] >= 480) continue;
      sine += (shown[i] - 1) * Math.sin(omega * t_s[i]);
      cosine += (shown[i] - 1) * Math.cos(omega * t_s[i]);
      count++;
    }
    expect((2 * Math.hypot(sine, cosine)) / count / 0.5).toBeCloseTo(amplitude, 2);
    expect((Math.atan2(-cosine, sine) * 180) / Math.PI).toBeCloseTo(late_deg, 0);
  });
});
