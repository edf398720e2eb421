/**
 * The paddle-volume example, recomputed from the standard geometry of a light barrier in a paddle elevator
 * (A2 of the collected facts; h = p·(D − D0), V = W·B·h, Q = f·V): v 2.5 m/s, p 0.150 m, dark 24 ms, empty 10 mm,
 * W 0.20 m, B 0.10 m, k 1 → f 16.667 /s, T 60 ms, h 50 mm, V 1.0 L, Q 16.667 L/s, 12.87 kg/s at 772 kg/m³.
 * Duration of blockage as the measure of grain on a paddle: Cheng et al. 2023, Agriculture 13(2):294.
 */
import { describe, expect, it } from 'vitest';
import type { EmptyLevelSolution } from '../../core/signal/empty-level.ts';
import { flowFromPaddles, paddleVolume } from '../../core/signal/flow.ts';

const PADDLE = { pitch_mm: 150, width_mm: 200, depth_mm: 100, thickness_mm: 10 };

describe('the paddle-volume example', () => {
  const period_s = 0.15 / 2.5;
  const volume_m3 = paddleVolume(PADDLE, 0.024 / period_s, 10 / 150);

  it('gives one litre a paddle', () => {
    expect(period_s).toBeCloseTo(0.06, 12);
    expect(volume_m3).toBeCloseTo(0.001, 12);
  });

  it('gives 16.667 L/s and 12.87 kg/s', () => {
    const flow_m3_s = volume_m3 / period_s;
    expect(flow_m3_s * 1000).toBeCloseTo(16.667, 3);
    expect(flow_m3_s * 772).toBeCloseTo(12.87, 2);
  });

  it('does not depend on chain speed', () => {
    // at half the speed every time doubles, D stays
    expect(paddleVolume(PADDLE, 0.048 / 0.12, 10 / 150)).toBeCloseTo(volume_m3, 15);
  });

  it('takes e·tan θ off a heap seen by a beam 50 mm behind the middle: 1.75, 4.37, 8.82 mm at 2°, 5°, 10°', () => {
    const paddle = { ...PADDLE, depth_mm: 200 };
    const n = 101;
    const paddles = {
      t_s: Float64Array.from({ length: n }, (_, i) => i * 0.06),
      period_s: Float64Array.from({ length: n }, (_, i) => (i === 0 ? Number.NaN : 0.06)),
      dark_fraction: new Float64Array(n).fill(0.4),
      slots: new Float64Array(n).fill(1),
    };
    const level: EmptyLevelSolution = {
      t_s: Float64Array.of(0),
      dark_fraction: Float64Array.of(10 / 150),
      standard_error: Float64Array.of(0),
      method: 'entered',
      geometry: 10 / 150,
      signature: undefined,
    };
    const total = (degrees: number) => {
      const pitch = { t_s: Float64Array.of(0), pitch_rad: Float64Array.of((degrees * Math.PI) / 180) };
      const { cumulative } = flowFromPaddles(paddles, level, paddle, 50, pitch).passage;
      return cumulative[n - 1];
    };
    for (const [degrees, off_mm] of [
      [2, 1.75],
      [5, 4.37],
      [10, 8.82],
    ]) {
      const height_mm = ((total(0) - total(degrees)) / (n - 1) / 0.04) * 1000;
      expect(height_mm).toBeCloseTo(off_mm, 2);
    }
  });
});
