import { describe, expect, it } from 'vitest';
import { lagByFlow } from '../../../core/lag/lag-by-flow.ts';
import { Random } from '../../synthetic/random.ts';

const TRANSPORTS_S = Float64Array.from({ length: 25 }, (_, k) => 9 + 0.25 * k);

/** Curves of gaps whose lags and flows are given. */
function curves(lags_s: readonly number[]): Float64Array[] {
  return lags_s.map((lag_s) => TRANSPORTS_S.map((at_s) => 0.01 + (at_s - lag_s) ** 2));
}

function season(seed: number, per_doubling_s: number, count = 30) {
  const random = new Random(seed, 'lag by flow');
  const flow = Float64Array.from({ length: count }, () => random.between(4, 12));
  const lags_s = Array.from(flow, (kg_s) => 12 + per_doubling_s * (kg_s / 8 - 1) + 0.1 * random.normal());
  return { flow, rows: curves(lags_s) };
}

describe('lag by flow', () => {
  it('is found where the lag shortens as flow rises', () => {
    const { rows, flow } = season(1, -1.5);
    const found = lagByFlow(rows, TRANSPORTS_S, flow);
    expect(found?.gaps).toBe(30);
    expect(found?.p).toBeLessThan(1e-6);
    expect(Math.abs((found?.per_doubling_s ?? 0) + 1.5)).toBeLessThan(4 * (found?.se_s ?? 0) + 0.1);
  });

  it('is significant by chance about as often as it says', () => {
    const p = Array.from({ length: 400 }, (_, seed) => {
      const { rows, flow } = season(seed, 0);
      return lagByFlow(rows, TRANSPORTS_S, flow)?.p ?? 0;
    });
    const share = p.filter((at) => at < 0.05).length / p.length;
    // 400 draws of 0.05: three standard deviations are 0.033
    expect(Math.abs(share - 0.05)).toBeLessThan(0.033);
  });

  it('is not told by few gaps, an even flow, or gaps without a lag of their own', () => {
    const few = season(1, -1.5, 11);
    expect(lagByFlow(few.rows, TRANSPORTS_S, few.flow)).toBeUndefined();
    const { rows, flow } = season(1, -1.5);
    expect(lagByFlow(rows, TRANSPORTS_S, new Float64Array(30).fill(8))).toBeUndefined();
    expect(lagByFlow(curves(new Array(30).fill(30)), TRANSPORTS_S, flow)).toBeUndefined();
  });
});
