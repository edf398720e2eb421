/** Screening finds the planted faults, leaves good points alone, and the map gains what it can. `npm run truth` prints more seeds. */
import { describe, expect, it } from 'vitest';
import { FAULT_SCENES } from './fault-scenes.ts';
import { type FaultScore, scoreFaults } from './fault-score.ts';
import { simulate } from './index.ts';
import { PLANTED_FAULTS } from './planned-faults.ts';
import { runSeason } from './recovery.ts';

const SEED = 11;

describe.each(FAULT_SCENES)('planted faults', (make) => {
  const season = simulate(make(SEED));
  const score: FaultScore = scoreFaults(season, runSeason(season));

  it('are of all kinds', () => {
    const planted = PLANTED_FAULTS.filter((kind) => kind !== 'overrun');
    expect([...score.kinds.keys()]).toEqual(
      expect.arrayContaining([...planted, 'ramp', 'narrow', 'no_crop']),
    );
    expect(score.artefacts).toBeGreaterThan(400);
    expect(score.good).toBeGreaterThan(2000);
  });

  it('are caught, and good points are not', () => {
    expect(score.caught / score.artefacts).toBeGreaterThan(0.95);
    expect(score.lost / score.good).toBeLessThan(0.02);
  });

  it('leave a map as good as one who knows the labels would draw, better than without screening', () => {
    expect(score.block_rmse_pct).toBeLessThan(1.1 * score.oracle_rmse_pct);
    expect(score.block_rmse_pct).toBeLessThan(score.unscreened_rmse_pct);
  });
});
