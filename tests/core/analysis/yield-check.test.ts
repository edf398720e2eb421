import { describe, expect, it } from 'vitest';
import { yieldNotices } from '../../../core/analysis/yield-check.ts';
import type { FieldSummary } from '../../../core/result.ts';

const field = (mean_yield_t_ha: number | null) => ({ name: 'Home', mean_yield_t_ha }) as FieldSummary;

describe('mean yields of fields', () => {
  it('are believed from a failed crop to a contest', () => {
    expect(yieldNotices([0.05, 3, 12, 30, null].map(field))).toEqual([]);
  });

  it('beyond that are pointed at, each with what to check', () => {
    const [many, none, negative] = yieldNotices([1760.32, 0, -7.2].map(field));
    expect(many.text).toMatch(/^Home: a mean of 1760\.32 t\/ha is more than any crop gives.*header's width/);
    expect(none.text).toContain('0.00 t/ha is next to nothing');
    expect(negative.text).toContain('-7.20 t/ha is next to nothing');
  });
});
