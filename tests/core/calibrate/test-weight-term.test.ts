import { describe, expect, test } from 'vitest';
import { calibrationDiagnostics } from '../../../core/analysis/load-diagnostics.ts';
import { calibrationSummary } from '../../../core/calibrate/calibration-summary.ts';
import type { Load } from '../../../core/calibrate/load.ts';
import { applyLoadFit, gradeWeighted } from '../../../core/calibrate/load-coefficients.ts';
import { estimateLoadFit } from '../../../core/calibrate/load-fit.ts';
import type { Ticket } from '../../../core/read/ticket.ts';
import { Random } from '../../synthetic/random.ts';

const USUAL_KG_M3 = 721;
const K = 0.9;

/** Loads whose test weights run from 4 % below to 4 % above the usual one. */
function loads(count: number, slope: number, range = 0.08): Load[] {
  const random = new Random(count, 'test weight');
  return Array.from({ length: count }, (_, i) => {
    const test_weight_share = range * (((i * 3) % count) / (count - 1) - 0.5);
    const x_kg = 10_000 + 100 * i;
    const scale_kg = x_kg * (K + slope * test_weight_share) * (1 + 0.002 * random.normal());
    const bulk_density_kg_m3 = USUAL_KG_M3 * (1 + test_weight_share);
    const ticket = { ticket: `T${i}`, source: 't.csv', line: i + 1, bulk_density_kg_m3 } as unknown as Ticket;
    return {
      ticket: ticket.ticket,
      tickets: [ticket],
      machine: 'c1',
      crop: 'corn',
      start_s: 2000 * i,
      end_s: 2000 * i + 1000,
      scale_kg,
      scale_sigma_kg: 20,
      x_kg,
      x2_kg: Number.NaN,
      running_s: 1000,
      mean_flow_kg_s: scale_kg / 1000,
      bulk_density_kg_m3,
      test_weight_share,
      moisture_pct: Number.NaN,
      span: i,
    };
  });
}

describe('a test-weight term', () => {
  test('is priced with the others, recommended where loads show it, and found', () => {
    const { solution } = estimateLoadFit(loads(8, -0.7));
    expect(solution.model).toBe('gain_test_weight');
    expect(solution.trials.map(({ model }) => model)).toContain('gain_test_weight');
    expect(Math.abs((solution.test_weight ?? 0) + 0.7)).toBeLessThan(3 * Math.sqrt(solution.covariance[15]));
    expect(solution.k).toBeCloseTo(K, 2);
    const summary = calibrationSummary(solution, 'c1', 'corn');
    expect(Object.keys(summary.coefficients)).toEqual(['k', 'test_weight']);
    expect(summary.standard_errors.test_weight).toBeGreaterThan(0);
    expect(summary.loo_rmse_pct).toBeLessThan(0.5);
  });

  test('is not taken from few loads, from loads that are alike, or where there is none', () => {
    expect(estimateLoadFit(loads(5, -0.7)).solution.model).toBe('gain');
    expect(estimateLoadFit(loads(8, -0.7, 0.02)).solution.model).toBe('gain');
    expect(estimateLoadFit(loads(8, 0)).solution.model).toBe('gain');
  });

  test('weighs grain by its own test weight, and has an interval', () => {
    const { solution } = estimateLoadFit(loads(8, -0.7));
    const { test_weight = 0 } = solution;
    const graded_kg = gradeWeighted(solution, 1000, 20, 0.03);
    expect(graded_kg).toBe(30);
    expect(applyLoadFit(solution, 1000, 100, 0, graded_kg)).toBeCloseTo(
      1000 * solution.k + 30 * test_weight,
      9,
    );
    expect(gradeWeighted({ k: 1, zero_kg_s: 0, curvature: 0, moisture: 0 }, 1000, 20, 0.03)).toBeCloseTo(
      50,
      9,
    );
    const none = new Float64Array();
    const grain = {
      x_kg: 1e5,
      running_s: 1e4,
      x2_kg: 0,
      xm_kg: 0,
      by_load_kg: new Map(),
      flow_kg_s: none,
      mass_kg: none,
      load: new Int32Array(),
    };
    const [low, high] = calibrationDiagnostics(solution, grain).confidence_95.test_weight;
    expect(low).toBeLessThan(-0.7);
    expect(high).toBeGreaterThan(-0.7);
  });

  test('asked for without test weights says why it is not fitted', () => {
    const bare = loads(8, 0).map(({ test_weight_share: _, ...load }) => load);
    const { solution, notices } = estimateLoadFit(bare, { model: 'gain_test_weight' });
    expect(solution.model).toBe('gain');
    expect(notices.find(({ code }) => code === 'model_not_fitted')?.text).toContain(
      'a load has no test weight on its tickets',
    );
    const asked = estimateLoadFit(loads(4, -0.7), { model: 'gain_test_weight' });
    expect(asked.solution.model).toBe('gain_test_weight');
  });
});
