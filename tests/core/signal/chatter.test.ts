import { describe, expect, it } from 'vitest';
import type { BeamEdges } from '../../../core/read/logger-run.ts';
import { estimateChatter } from '../../../core/signal/chatter.ts';

/** Edges from durations in µs, dark first. */
function edgesOf(durations_us: readonly number[]): BeamEdges {
  const tick_us = [0];
  for (const duration_us of durations_us) tick_us.push(tick_us[tick_us.length - 1] + duration_us);
  return { tick_us: Float64Array.from(tick_us), dark: Uint8Array.from(tick_us, (_, i) => (i + 1) % 2) };
}
/** Paddles of 25 ms in 60 ms. */
const paddles = (count: number) => Array.from({ length: count }, () => [25_000, 35_000]).flat();

describe('thresholds of chatter', () => {
  it('takes entered numbers as they are, each by itself', () => {
    const found = estimateChatter(edgesOf(paddles(100)), { bridge_lit_ms: 1.5 });
    expect(found.bridge_lit_s).toBe(0.0015);
    expect(found.drop_dark_s).toBe(estimateChatter(edgesOf(paddles(100))).drop_dark_s);
  });

  it('is 0 where nothing can be measured', () => {
    expect(estimateChatter(edgesOf([]))).toEqual({ bridge_lit_s: 0, drop_dark_s: 0 });
    // two edges of the same kind have nothing between them
    const lost = { tick_us: Float64Array.of(0, 5000), dark: Uint8Array.of(1, 1) };
    expect(estimateChatter(lost)).toEqual({ bridge_lit_s: 0, drop_dark_s: 0 });
  });

  it('stays far below the shortest paddle when there is no chatter', () => {
    const { drop_dark_s, bridge_lit_s } = estimateChatter(edgesOf(paddles(500)));
    expect(drop_dark_s).toBeLessThanOrEqual(0.0015);
    expect(bridge_lit_s).toBeLessThanOrEqual(0.0015);
  });

  it('tells chatter from paddles although it is commoner, and is not moved by a stop', () => {
    const noisy = Array.from({ length: 400 }, (_, i) => [
      ...[0, 1, 2].flatMap((k) => [8000, 150 + ((i * 7 + k * 31) % 200)]),
      8000,
      35_000,
    ]).flat();
    const { bridge_lit_s } = estimateChatter(edgesOf(noisy));
    const withStop = estimateChatter(
      edgesOf([...noisy, 25_000, 15_000_000, 25_000, 3_600_000_000]),
    ).bridge_lit_s;
    for (const found of [bridge_lit_s, withStop]) {
      expect(found).toBeGreaterThan(0.00036);
      expect(found).toBeLessThan(0.003);
    }
  });
});
