import { describe, expect, it } from 'vitest';
import { STEP_S } from './drive.ts';
import { respond } from './threshing.ts';
import { total } from './total.ts';

/**
 * First-order response with τ = 3 s: exact values of 1 − exp(−t/τ) and 1/√(1 + (2πτ/T)²), atan(2πτ/T)
 * (computed from the formulas; the amplitude 0.46865 and phase 62.05° at T = 10 s are the rounded ones).
 */
describe('first-order mixing', () => {
  const TAU_S = 3;

  it.each([
    [3, 0.632120559],
    [8.987197, 0.95],
    [13.815511, 0.99],
  ])('reaches after %f s the share %f of a step', (time_s, share) => {
    const n = 400;
    const { out } = respond(new Float64Array(n).fill(STEP_S), 0, TAU_S);
    let stored = 0;
    const k = Math.floor(time_s / STEP_S);
    for (let i = 0; i < k; i++) stored += STEP_S - out[i];
    // What the drum holds is τ × the flow at this moment; the rest of a step is interpolated by the same law.
    const flow = stored / TAU_S;
    const atTime = 1 + (flow - 1) * Math.exp(-(time_s - k * STEP_S) / TAU_S);
    expect(atTime).toBeCloseTo(share, 6);
  });

  it.each([
    [10, 0.46865, 62.05],
    [20, 0.72773, 43.3],
    [40, 0.90459, 25.23],
    [60, 0.95403, 17.44],
  ])('passes a wave of %f s with amplitude %f, %f° late', (period_s, amplitude, lag_deg) => {
    const n = Math.round((30 * period_s) / STEP_S);
    const wave = Float64Array.from({ length: n }, (_, k) =>
      Math.sin((2 * Math.PI * (k + 0.5) * STEP_S) / period_s),
    );
    const { out } = respond(wave, 0, TAU_S);
    let inPhase = 0;
    let quadrature = 0;
    const from = Math.round((20 * period_s) / STEP_S);
    for (let k = from; k < n; k++) {
      const angle = (2 * Math.PI * (k + 0.5) * STEP_S) / period_s;
      inPhase += (2 * out[k] * Math.sin(angle)) / (n - from);
      quadrature += (2 * out[k] * Math.cos(angle)) / (n - from);
    }
    expect(Math.hypot(inPhase, quadrature)).toBeCloseTo(amplitude, 4);
    expect((-Math.atan2(quadrature, inPhase) * 180) / Math.PI).toBeCloseTo(lag_deg, 1);
  });

  it('balances what is inside: delay line and drum', () => {
    const amounts = Float64Array.from({ length: 500 }, (_, k) => (k > 430 ? 0.7 : 0.1));
    const { out, inside } = respond(amounts, 12, TAU_S);
    expect(total(out) + inside).toBeCloseTo(total(amounts), 12);
    expect(out.slice(0, 240).every((amount) => amount === 0)).toBe(true);
  });

  it('refuses a delay between two steps', () => {
    expect(() => respond(new Float64Array(5), 0.12, 3)).toThrow(
      'multiple of 0.05 s and not negative, got 0.12 s',
    );
  });
});
