/** The chain finds the truth of simulated seasons that it was never tuned to. `npm run truth` prints the whole table. */
import { describe, expect, it } from 'vitest';
import { simulate } from './index.ts';
import { pointErrors } from './point-truth.ts';
import { compareWithTruth, runSeason } from './recovery.ts';
import { TRUTH_SCENES, TRUTH_SEEDS } from './truth-scenes.ts';

describe.each(TRUTH_SCENES)('truth of $make.name', ({ make, block_rmse_pct, block_r }) => {
  it.each(TRUTH_SEEDS)('is recovered (seed %i)', (seed) => {
    const season = simulate(make(seed));
    const result = runSeason(season);
    for (const found of compareWithTruth(make.name, seed, season, result)) {
      expect(Math.abs(found.area_error_pct)).toBeLessThan(0.15);
      expect(Math.abs(found.mass_error_pct)).toBeLessThan(0.3);
      expect(found.transport_error_s).toBeLessThan(0.3);
      expect(found.mixing_error_s).toBeLessThan(0.5);
      expect(found.blocks).toBeGreaterThan(300);
      expect(found.block_rmse_pct).toBeLessThan(block_rmse_pct);
      expect(found.block_r).toBeGreaterThan(block_r);
      expect(found.mistyped_flagged).toBe(found.mistyped_tickets);
      expect(found.honest_flagged).toBe(0);
    }
    const points = pointErrors(season, result);
    expect(points.stated_pct / points.true_pct).toBeGreaterThan(0.7);
    expect(points.stated_pct / points.true_pct).toBeLessThan(1.3);
    expect(result.summary.warnings.filter(({ code }) => code.startsWith('antenna_'))).toEqual([]);
    for (const row of result.summary.mass_ledger) {
      const screened = Object.values(row.screened_kg).reduce((sum, kg) => sum + kg, 0);
      const accounted = row.mapped_kg + screened + row.outside_field_kg + row.not_cutting_kg;
      expect(Math.abs(accounted - row.beam_kg)).toBeLessThan(1e-9 * row.beam_kg);
    }
  });
});
