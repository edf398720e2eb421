import { describe, expect, it } from 'vitest';
import { SCREENING_RULES } from '../../../core/result.ts';
import { fieldPointsFrom } from '../../../renderer/session/field-points.ts';
import { rowsOfThread, ruleOfThread, threadOfRule } from '../../../renderer/session/threads.ts';
import { flowFigures } from '../../../renderer/steps/flow/flow-figures.ts';
import { groundFigures } from '../../../renderer/steps/ground/ground-figures.ts';

/** Four rows of one pass; the third is screened as `ramp`, the last was not cut. */
const points = fieldPointsFrom({
  about: { field: 'Home', crop: 'corn' },
  rows: 4,
  columns: new Map<string, Float64Array | Int32Array | Uint8Array>([
    ['screened_by', Uint8Array.of(0, 0, 1 + SCREENING_RULES.indexOf('ramp'), 1)],
    ['mass_flow_kg_s', Float64Array.of(4, 8, 6, 0)],
    ['duration_s', Float64Array.of(1, 3, 1, 1)],
    ['machine', new Int32Array(4)],
    ['pass', Int32Array.of(0, 0, 0, -1)],
    ['cut_width_m', Float64Array.of(10, 5, 10, Number.NaN)],
    ['distance_m', Float64Array.of(2, 2, 2, 2)],
    ['fresh_area_m2', Float64Array.of(20, 10, 20, 0)],
  ]),
});

describe('figures of a field from its points', () => {
  it('flow counts the time of the kept points only', () => {
    const figures = flowFigures(points);
    expect(figures?.median_kg_s).toBe(8);
    expect(figures?.seconds.reduce((sum, held) => sum + held, 0)).toBe(4);
  });

  it('ground is what was swept less what had been cut before', () => {
    // 3 rows × 2 m × 10 m swept = 60 m², of which 50 m² fresh.
    const figures = groundFigures(points, [10]);
    expect(figures).toMatchObject({ swept_ha: 0.006, median_m: 10, passes: 1 });
    expect(figures?.overlap_share).toBeCloseTo(1 / 6, 12);
  });

  it('are absent where nothing was cut', () => {
    expect(groundFigures(points, [Number.NaN])).toBeNull();
    const all_screened = { ...points, screened_by: Uint8Array.of(1, 1, 1, 1) };
    expect(flowFigures(all_screened)).toBeNull();
  });
});

describe('threads of the mass ribbon', () => {
  it('stand for the points of their rule, the map’s own for the kept ones', () => {
    expect(rowsOfThread(points, 'mapped')).toEqual(Uint8Array.of(1, 1, 0, 0));
    expect(rowsOfThread(points, 'screened:ramp')).toEqual(Uint8Array.of(0, 0, 1, 0));
    expect(rowsOfThread(points, 'not_cutting')).toEqual(Uint8Array.of(0, 0, 0, 1));
    expect(rowsOfThread(points, 'outside_field')).toBeNull();
  });

  it('are named after their rule, there and back', () => {
    for (const rule of ['ramp', 'not_cutting', 'outside_field'])
      expect(ruleOfThread(threadOfRule(rule))).toBe(rule);
  });
});
