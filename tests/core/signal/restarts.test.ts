import { describe, expect, it } from 'vitest';
import { bridgeRestarts } from '../../../core/signal/restarts.ts';

/** Two runs of five paddles, 0.1 s apart, with a silence between them; the first of a run has no period. */
function paddles(silence_s: number) {
  const t_s = Float64Array.from({ length: 10 }, (_, i) =>
    i < 5 ? i * 0.1 : 0.4 + silence_s + (i - 5) * 0.1,
  );
  const period_s = t_s.map((_, i) => (i % 5 === 0 ? Number.NaN : 0.1));
  return {
    t_s,
    period_s,
    dark_fraction: t_s.map((_, i) => (i % 5 === 0 ? Number.NaN : 0.3)),
    slots: t_s.map(() => 1),
  };
}

describe('silence at a restart', () => {
  it('is taken as so many paddles as fit into it', () => {
    const { paddles: bridged, bridged_s, left_open } = bridgeRestarts(paddles(3), [0, 5]);
    expect(bridged.period_s[5]).toBeCloseTo(3, 12);
    expect(bridged.slots[5]).toBe(30);
    expect(bridged_s).toBeCloseTo(3, 12);
    expect(left_open).toBe(0);
    // how dark they were is left to the flow
    expect(bridged.dark_fraction[5]).toBeNaN();
  });

  it('of no length at all is one ordinary paddle', () => {
    expect(bridgeRestarts(paddles(0.1), [0, 5]).paddles.slots[5]).toBe(1);
  });

  it('stays open beyond 15 s, and is a pause of the work beyond half an hour', () => {
    for (const [silence_s, left_open] of [
      [16, 1],
      [3000, 0],
    ]) {
      const found = bridgeRestarts(paddles(silence_s), [0, 5]);
      expect(found).toMatchObject({ bridged_s: 0, left_open });
      expect(found.paddles.period_s[5]).toBeNaN();
    }
  });

  it('is not bridged when the elevator was stopped on one side', () => {
    const stopped = paddles(3);
    stopped.period_s[6] = Number.NaN;
    expect(bridgeRestarts(stopped, [0, 5])).toMatchObject({ bridged_s: 0, left_open: 0 });
  });

  it('at the very end or with no paddle changes nothing', () => {
    expect(bridgeRestarts(paddles(3), [0, 9, 10]).bridged_s).toBe(0);
    const none = new Float64Array();
    const empty = { t_s: none, period_s: none, dark_fraction: none, slots: none };
    expect(bridgeRestarts(empty, [0, 0])).toMatchObject({ bridged_s: 0, left_open: 0 });
  });
});
