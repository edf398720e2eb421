import { describe, expect, it } from 'vitest';
import { clockFromAnchor } from '../../../core/signal/clock.ts';
import { joinFixes, timedFixes } from '../../../core/signal/joined-fixes.ts';
import { fixColumns, timedFixes as fixesAt } from './made-fixes.ts';

const NAN = Number.NaN;

describe('fixes of a machine', () => {
  it('are laid end to end in time with the field of their log', () => {
    const { fixes, field_hint } = joinFixes([
      { fixes: fixesAt([50, 51], { speed_m_s: [3, 4] }), field: 2 },
      { fixes: fixesAt([]), field: 7 },
      { fixes: fixesAt([10], { speed_m_s: [1] }), field: -1 },
    ]);
    expect([...fixes.t_s]).toEqual([10, 50, 51]);
    expect([...fixes.speed_m_s]).toEqual([1, 3, 4]);
    expect([...field_hint]).toEqual([-1, 2, 2]);
    expect(fixes.hdop).toHaveLength(3);
  });

  it('are ordered by the first time that is known', () => {
    const parts = [[NAN, 90], [NAN], [NAN, 5]].map((t_s, field) => ({ fixes: fixesAt(t_s), field }));
    expect([...joinFixes(parts).field_hint]).toEqual([2, 2, 0, 0, 1]);
    expect(joinFixes([]).fixes.t_s).toHaveLength(0);
  });

  it('take the time of the counter where their sentence had none', () => {
    const fixes = fixColumns([1e6, 2e6, NAN], [1000, NAN, NAN]);
    expect([...timedFixes(fixes, clockFromAnchor(0, 999.5), 900).t_s]).toEqual([100, 101.5, NAN]);
    expect([...timedFixes(fixes, undefined, 900).t_s]).toEqual([100, NAN, NAN]);
  });
});
