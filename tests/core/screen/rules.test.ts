import { describe, expect, it } from 'vitest';
import { SCREENING_RULES } from '../../../core/result.ts';
import { RULES, rulesInForce } from '../../../core/screen/rules.ts';

describe('screening rules', () => {
  it('stand each in the order, with a sentence and a source', () => {
    expect([...SCREENING_RULES].sort()).toEqual(Object.keys(RULES).sort());
    for (const { why, source } of Object.values(RULES)) {
      expect(why).toMatch(/^[A-Z].*\.$/);
      expect(source.length).toBeGreaterThan(10);
    }
  });

  it('are all in force with their defaults', () => {
    const inForce = rulesInForce(undefined);
    expect(Object.keys(inForce)).toHaveLength(SCREENING_RULES.length);
    expect(inForce.slow).toEqual({ speed_min_m_s: 0.5 });
  });

  it('take the numbers of the sheet, leave the rest, and ignore words they do not know', () => {
    const inForce = rulesInForce({
      slow: { speed_min_m_s: 0.8, colour: 3 },
      speed_jump: { change_max: 0.3 },
      ramp: { on: false },
      narrow_cut: { on: true },
    });
    expect(inForce.slow).toEqual({ speed_min_m_s: 0.8 });
    expect(inForce.speed_jump).toEqual({ mismatch_max: 0.12, change_max: 0.3 });
    expect(inForce.ramp).toBeUndefined();
    expect(inForce.narrow_cut).toEqual({ share_min: 0.33 });
    expect(rulesInForce(undefined).slow).toEqual({ speed_min_m_s: 0.5 });
  });
});
